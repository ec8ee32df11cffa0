"""How pieces lie: the room between them, what a litre of them weighs, and what walls change."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.media.pieces import PIECE_SIZES
from aqualib.filtration.media.surface import BED_DENSITIES, BED_VOIDAGES
from aqualib.filtration.media.weighing import SOLIDS
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import first_bad

WIDTHS = Range(1, 10000, "mm")


@public(returns="kg/m**3", sources=())
def bed_density(
    voidage: Annotated[Number, BED_VOIDAGES],
    inner_porosity: Annotated[Number, Range(0, 0.99)],
    skeletal_density: Annotated[Amount, SOLIDS],
) -> Number:
    """Return what a bed of dry media weighs, in kg per m³ (the same as g per litre).

    It turns the kilograms on a bag into the litres a filter must have room for.

    Equation: ρ_bed = (1 - ε) (1 - P) ρ_s.

    voidage: Between the pieces, ε.
    inner_porosity: All pores, open and closed, over the outer volume of a piece, P.
    skeletal_density: Of the solid without any pore, ρ_s.
    Source: arithmetic.
    Validity: dry media; wet ones weigh more by the water in their pores.

    >>> bed_density(0.4, 0.55, Q(2500, "kg/m**3")).round(1)
    <Quantity(675.0, 'kilogram / meter ** 3')>
    """
    return (1.0 - voidage) * (1.0 - inner_porosity) * skeletal_density


def _check_lighter(bed_density: Any, bulk_density: Any) -> None:
    bad = np.asarray(bed_density) >= np.asarray(bulk_density)
    if np.any(bad):
        bed, piece = first_bad(bad, bed_density, bulk_density)
        why = "is not lighter than a piece; a litre of media has gaps"
        valid = f"less than the piece, {piece:g} kg/m**3"
        raise ValidityError("bed_density", f"{bed:g} kg/m**3", valid, "", why)


@public(returns="", sources=(), together=_check_lighter)
def voidage_from_density(
    bed_density: Annotated[Amount, BED_DENSITIES],
    bulk_density: Annotated[Amount, SOLIDS],
) -> Number:
    """Return the room between the pieces over that of the bed, as a plain fraction 0 to 1.

    Fill a measuring jug with dry media and weigh it: with the density of a piece that tells how
    loosely the pieces lie, without counting or drawing them.

    Equation: ε = 1 - ρ_bed / B.

    bed_density: Dry media over the room they take in a wide jug.
    bulk_density: Of a piece with its pores, B, from `immersion_porosity`.
    Raises: the bed is not lighter than a piece.
    Source: arithmetic.
    Validity: a jug many pieces wide; near its wall they lie looser, see `wall_voidage`.

    >>> round(voidage_from_density(Q(675, "kg/m**3"), Q(1125, "kg/m**3")), 3)
    0.4
    """
    return 1.0 - bed_density / bulk_density


def check_width(diameter: Any, width: Any) -> None:
    """Raise if the container is too narrow for pieces of this size."""
    narrowest = 1.5
    bad = np.asarray(width) < narrowest * np.asarray(diameter) * (1.0 - 1e-9)
    if np.any(bad):
        across, piece = first_bad(bad, width, diameter)
        valid = f"at least {narrowest:g} times the piece, {1e3 * narrowest * piece:g} mm"
        why = "is too narrow for these pieces"
        raise ValidityError("width", f"{1e3 * across:g} mm", valid, "BenyahiaONeill2005", why)


def library_voidage(diameter: Any, width: Any) -> Any:
    """Return the voidage of balls in a round container, on plain numbers in m."""
    from fluids.packed_bed import voidage_Benyahia_Oneil_spherical

    return voidage_Benyahia_Oneil_spherical(diameter, width)


@public(returns="", sources=("BenyahiaONeill2005", "GuoEtAl2019", "fluids"), together=check_width)
def wall_voidage(
    diameter: Annotated[Amount, PIECE_SIZES],
    width: Annotated[Amount, WIDTHS],
) -> Number:
    """Return the voidage of balls in a round container with its wall, as a plain fraction 0 to 1.

    Along a wall the balls cannot lie snugly; in a narrow basket that is a good part of them, so
    less fits in and water slips past.

    Equation: ε = 0.390 + 1.740 / (D / d + 1.140)², from the library fluids.

    diameter: Of a ball, d.
    width: Inside diameter of the container, D; of another shape, four times area over
        perimeter.
    Raises: the container is narrower than 1.5 balls.
    Source: BenyahiaONeill2005 as coded in fluids, function voidage_Benyahia_Oneil_spherical;
        GuoEtAl2019 (abstract) on narrow containers.
    Validity: D / d from 1.5 to 50, mean error 1.5 %; in narrow ones the true voidage goes up
        and down with the width, which no such fit shows.
    Departures: used above 50 too, where the wall adds less than 0.001; a container that is not
        round is our own step.

    >>> round(wall_voidage(Q(15, "mm"), Q(150, "mm")), 3)
    0.404
    """
    return library_voidage(diameter, width)
