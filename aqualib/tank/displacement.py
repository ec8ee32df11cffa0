"""How much of the tank is not water: stones, wood and gravel, and what they leave."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row
from aqualib.validity import ValidityError

LITRES = Range(0, 1e6, "L")


@public(returns="L", sources=())
def displaced_by(
    mass: Annotated[Amount, Range(0, 10000, "kg")],
    density: Annotated[Amount, Range(300, 8000, "kg/m**3")],
) -> Any:
    """Return the volume of water that a stone or a piece of wood pushes out, in L.

    Ten kilograms of granite take the place of nearly four litres of water.

    Equation: V = m / rho.

    Parameters
    ----------
    mass : quantity, 0 to 10000 kg
    density : quantity, 300 to 8000 kg/m**3
        Mass as weighed, over the volume that keeps water out. Rows of `data/parameters.csv`
        give it for common stones and for sunken wood.

    Returns
    -------
    quantity in L

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: geometry.
    Validity: the piece lies wholly under water. For porous rock weighed dry the answer lies
    between two cases: with the density of its mineral if water fills every pore, with its bulk
    density if the pores hold air or are not to count as water.
    Departures: none.

    Examples
    --------
    >>> from aqualib.parameters import parameter
    >>> from aqualib.units import Q
    >>> displaced_by(Q(10, "kg"), parameter("granite_density").quantity).round(2)
    <Quantity(3.77, 'liter')>
    """
    return mass / density


@public(returns="L", sources=())
def gravel_displacement(
    footprint: Annotated[Amount, Range(0, 1e6, "cm**2")],
    gravel_depth: Annotated[Amount, Range(0, 500, "cm")],
    porosity: Annotated[Number, Range(0.05, 0.95)] = None,
) -> Any:
    """Return the volume of water that a bed of gravel or sand pushes out, in L.

    Only the grains displace water; some two fifths of the bed is water between them.

    Equation: V = A h (1 - e), with porosity e.

    Parameters
    ----------
    footprint : quantity, 0 to 1e+06 cm**2
        The area the bed covers.
    gravel_depth : quantity, 0 to 500 cm
        Its mean depth.
    porosity : plain number, 0.05 to 0.95
        Share of the bed that is water; None takes `gravel_porosity` of `data/parameters.csv`.

    Returns
    -------
    quantity in L

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: geometry; the default porosity is assumed.
    Validity: solid grains wholly under water, no air trapped between them.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> gravel_displacement(Q(60, "cm") * Q(30, "cm"), Q(5, "cm")).round(1)
    <Quantity(5.4, 'liter')>
    """
    share = or_row(porosity, "gravel_porosity")
    return footprint * gravel_depth * (1.0 - share)


def _check_displaced(gross: Any, displaced: Any) -> None:
    over = np.asarray(displaced) > np.asarray(gross) * (1.0 + 1e-9)
    if np.any(over):
        most, room = np.broadcast_arrays(displaced, gross)
        place = np.unravel_index(int(np.argmax(over)), over.shape)
        value = f"{most[place] * 1000.0:g} L"
        valid = f"at most `gross`, here {room[place] * 1000.0:g} L"
        raise ValidityError("displaced", value, valid, "", "is more than the tank holds")


@public(returns="L", sources=(), together=_check_displaced)
def true_water_volume(
    gross: Annotated[Amount, LITRES],
    displaced: Annotated[Amount, LITRES],
) -> Any:
    """Return the water that is really in the tank, in L.

    Doses, water changes and loads go by this volume, not by the one on the label.

    Equation: V = V_gross - V_displaced.

    Parameters
    ----------
    gross : quantity, 0 to 1e+06 L
        The inside volume up to the water line.
    displaced : quantity, 0 to 1e+06 L
        The sum of what stones, wood and gravel push out.

    Returns
    -------
    quantity in L

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or more is displaced than is there.

    Notes
    -----
    Source: geometry.
    Validity: everything displaced lies below the water line that `gross` was measured to; the
    water in a filter or sump comes on top.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> true_water_volume(Q(54, "L"), Q(9.2, "L")).round(1)
    <Quantity(44.8, 'liter')>
    """
    return np.maximum(gross - displaced, 0.0)
