"""Grains, rings and balls: the diameter that counts, how easily water passes, and what slips by."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Number, OneOf, Range, public
from aqualib.filtration.packed_bed import DIAMETERS, VOIDAGES
from aqualib.validity import ValidityError

SIZES = Range(0.1, 200, "mm")


def _check_hole(outside: Any, inside: Any, **_: Any) -> None:
    if np.any(np.asarray(inside) >= np.asarray(outside)):
        why = "is not smaller than the outside diameter"
        raise ValidityError("inside", "the hole", "less than outside", "", why)


@public(returns="mm", sources=(), together=_check_hole)
def ring_diameter(
    outside: Annotated[Amount, SIZES],
    inside: Annotated[Amount, SIZES],
    length: Annotated[Amount, SIZES],
) -> Any:
    """Return the diameter of the ball with as much surface per volume as a ring, in mm.

    A ring rubs on the water like much smaller balls, because it has an inside as well.

    Equation: d = 6 V / A, with V = π (D² - B²) L / 4 and
    A = π (D + B) L + π (D² - B²) / 2.

    Parameters
    ----------
    outside : quantity, 0.1 to 200 mm
    inside : quantity, 0.1 to 200 mm
    length : quantity, 0.1 to 200 mm

    Returns
    -------
    quantity in mm, to be used as `diameter` of a bed

    Raises
    ------
    ValidityError
        If a value is out of range, has the wrong unit, or the hole is wider than the ring.

    Notes
    -----
    Source: geometry.
    Validity: smooth rings; pores do not count, for water hardly flows through them.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> ring_diameter(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")).round(2)
    <Quantity(7.5, 'millimeter')>
    """
    volume = (outside**2 - inside**2) * length / 4.0
    surface = (outside + inside) * length + (outside**2 - inside**2) / 2.0
    return 6.0 * volume / surface


@public(returns="mm", sources=("Ergun1952",))
def irregular_diameter(
    diameter: Annotated[Amount, SIZES],
    sphericity: Annotated[Number, Range(0.1, 1)],
) -> Any:
    """Return the diameter of a broken piece that counts for its flow resistance, in mm.

    Sharp gravel resists like balls a quarter smaller.

    Equation: d = φ D, with D the diameter of the ball of equal volume.

    Parameters
    ----------
    diameter : quantity, 0.1 to 200 mm
        Diameter of the ball of equal volume.
    sphericity : plain number, 0.1 to 1
        1 for a ball, about 0.75 for sand (from a textbook table).

    Returns
    -------
    quantity in mm, to be used as `diameter` of a bed

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: Ergun1952 (form read in a textbook table).
    Validity: compact pieces, not flakes.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> irregular_diameter(Q(4, "mm"), 0.75).round(2)
    <Quantity(3.0, 'millimeter')>
    """
    return sphericity * diameter


@public(returns="m**2", sources=("Ergun1952",))
def bed_permeability(
    diameter: Annotated[Amount, DIAMETERS],
    voidage: Annotated[Number, VOIDAGES],
    constant: Annotated[Number, Range(100, 300)] = 180.0,
) -> Any:
    """Return the permeability of a bed of grains, in m².

    Half the grain size lets a quarter of the water through.

    Equation: K = ε³ d² / (180 (1 - ε)²), of Carman and Kozeny; Ergun's first term has 150.

    Parameters
    ----------
    diameter : quantity, 0.01 to 100 mm
    voidage : plain number, 0.2 to 0.98
    constant : plain number, 100 to 300

    Returns
    -------
    quantity in m**2, for Darcy's law ΔP = μ v L / K

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: Ergun1952 (150); the 180 is Carman's, read in a textbook table.
    Validity: slow flow, ρ v d / μ below about 6.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> bed_permeability(Q(1, "mm"), 0.4).to("mm**2").round(6)
    <Quantity(0.000988, 'millimeter ** 2')>
    """
    return voidage**3 * diameter**2 / (constant * (1.0 - voidage) ** 2)


@public(returns="mm", sources=())
def throat_diameter(
    diameter: Annotated[Amount, DIAMETERS],
    packing: Annotated[str, OneOf(("loose", "dense"))] = "dense",
) -> Any:
    """Return the largest ball that slips between equal balls, in mm.

    Even tightly packed 10 mm balls let through everything below 1.5 mm: media do not sieve.

    Equation: d_t = (√2 - 1) d for balls stacked in a square (loose), (2/√3 - 1) d for balls in a
    triangle (dense).

    Parameters
    ----------
    diameter : quantity, 0.01 to 100 mm
    packing : "loose" or "dense"

    Returns
    -------
    quantity in mm

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: geometry.
    Validity: equal balls; a real heap has gaps wider than the loose one here and there.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> throat_diameter(Q(10, "mm")).round(2)
    <Quantity(1.55, 'millimeter')>
    """
    widest = np.sqrt(2.0) if packing == "loose" else 2.0 / np.sqrt(3.0)
    return (widest - 1.0) * diameter
