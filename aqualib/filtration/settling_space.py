"""Settling space: what sinks out before the water leaves, ruled by flow over floor area."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.filtration.hose import FLOWS

SPEEDS = Range(0, 10000, "mm/s")
RATES = Range(1e-6, 10000, "mm/s")


@public(returns="mm/s", sources=())
def overflow_rate(
    flow: Annotated[Amount, FLOWS],
    area: Annotated[Amount, Range(1, 1e8, "cm**2")],
) -> Any:
    """Return the overflow rate of a settling space, in mm/s.

    It is how fast the water rises; only what sinks faster stays below.

    Equation: v0 = Q / A.

    Parameters
    ----------
    flow : quantity, 0 to 1e+06 L/h
    area : quantity, 1 to 1e+08 cm**2
        Of the floor.

    Returns
    -------
    quantity in mm/s (1 mm/s is 86.4 m/day)

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: a definition.
    Validity: flow spread evenly over the floor; farms use 40 to 80 m/day.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> overflow_rate(Q(1000, "L/h"), Q(490.87, "cm**2")).round(3)
    <Quantity(5.659, 'millimeter / second')>
    """
    return flow / area


@public(returns="", sources=("Hazen1904",))
def settled_fraction(
    velocity: Annotated[Amount, SPEEDS],
    overflow_rate: Annotated[Amount, RATES],
) -> Any:
    """Return the share of particles of one speed that an ideal settling space holds, a fraction.

    Depth does not matter, only floor: a deeper chamber holds more dirt but catches no more.

    Equation: E = min(1, w / v0), of Hazen.

    Parameters
    ----------
    velocity : quantity, 0 to 10000 mm/s
        w, from `settling_velocity`.
    overflow_rate : quantity, 1e-06 to 10000 mm/s
        v0, from the function of that name.

    Returns
    -------
    plain number, 0 to 1

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: Hazen1904 (form as in textbooks; the paper was not read).
    Validity: calm, even flow; a real chamber does worse, see `basin_settled_fraction`.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> settled_fraction(Q(1, "mm/s"), Q(5, "mm/s"))
    0.2
    """
    return np.minimum(1.0, velocity / overflow_rate)[()]


@public(returns="", sources=())
def basin_settled_fraction(
    velocity: Annotated[Amount, SPEEDS],
    overflow_rate: Annotated[Amount, RATES],
    cells: Annotated[Number, Range(1, 100)] = 1.0,
) -> Any:
    """Return the share of particles of one speed that a real settling space holds, a fraction.

    Stirred water keeps dirt up: what an ideal space holds wholly, a stirred one holds by half.

    Equation: E = 1 - (1 + w / (n v0))^-n, for n fully stirred cells in a row; 1 - exp(-w / v0)
    for very many.

    Parameters
    ----------
    velocity : quantity, 0 to 10000 mm/s
    overflow_rate : quantity, 1e-06 to 10000 mm/s
    cells : plain number, 1 to 100
        n; 1 for a poor space, more for a calmer one.

    Returns
    -------
    plain number, 0 to 1

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: the mass balance of each cell, floor shared evenly.
    Validity: dirt that has settled stays; fast water lifts it again.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> basin_settled_fraction(Q(5, "mm/s"), Q(5, "mm/s"))
    0.5
    """
    return 1.0 - (1.0 + velocity / (cells * overflow_rate)) ** -cells
