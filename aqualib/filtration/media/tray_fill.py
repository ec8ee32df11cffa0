"""Kilograms, litres and trays: what fits where, and what a square metre of surface costs."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.filtration.media.packing import check_width, library_voidage
from aqualib.filtration.media.pieces import PIECE_SIZES
from aqualib.filtration.media.surface import AREAS_PER_MASS, BED_DENSITIES
from aqualib.filtration.media.weighing import SOLIDS
from aqualib.units import Amount, Number
from aqualib.validity import Range

SIDES = Range(1, 10000, "mm")


class TrayFill(NamedTuple):
    """What a tray holds."""

    mass: Any
    volume: Any
    voidage: Any


@public(returns="L", sources=())
def media_volume(
    mass: Annotated[Amount, Range(0, 1e5, "kg")],
    bed_density: Annotated[Amount, BED_DENSITIES],
) -> Number:
    """Return the room that media take in the filter, in L.

    Check it before buying: a bag of light media can be twice as large as the tray.

    Equation: V = m / ρ_bed.

    bed_density: See `bed_density`, or weigh a litre of dry media.
    Source: arithmetic.
    Validity: a container many pieces wide.

    >>> media_volume(Q(6, "kg"), Q(675, "kg/m**3")).round(2)
    <Quantity(8.89, 'liter')>
    """
    return mass / bed_density


@public(returns="kg", sources=())
def media_mass(
    volume: Annotated[Amount, Range(0, 1e5, "L")],
    bed_density: Annotated[Amount, BED_DENSITIES],
) -> Number:
    """Return what media of this volume weigh, dry, in kg.

    So many kilograms fill the room that a filter has.

    Equation: m = ρ_bed V.

    volume: The room they take, gaps included.
    Source: arithmetic.
    Validity: a container many pieces wide.

    >>> media_mass(Q(10, "L"), Q(675, "kg/m**3")).round(2)
    <Quantity(6.75, 'kilogram')>
    """
    return volume * bed_density


def hydraulic_width(length: Any, width: Any) -> Any:
    """Return four times the area of a rectangle over its perimeter."""
    return 2.0 * length * width / (length + width)


def _check_tray(length: Any, width: Any, size: Any, **_: Any) -> None:
    check_width(size, hydraulic_width(np.asarray(length), np.asarray(width)))


@public(
    returns={"mass": "kg", "volume": "L", "voidage": ""},
    sources=("BenyahiaONeill2005", "fluids"),
    together=_check_tray,
)
def media_in_tray(
    length: Annotated[Amount, SIDES],
    width: Annotated[Amount, SIDES],
    depth: Annotated[Amount, SIDES],
    size: Annotated[Amount, PIECE_SIZES],
    voidage: Annotated[Number, Range(0.2, 0.95)],
    bulk_density: Annotated[Amount, SOLIDS],
) -> TrayFill:
    """Return the dry media that fill a tray, its volume, and the voidage in it, walls included.

    In a small basket large pieces lie looser, so it holds less than the litres on paper.

    Equation: m = (1 - ε_t) B l w h, with 1 - ε_t = (1 - ε) (1 - ε_w) / (1 - 0.390), ε_w from
    `wall_voidage` at D = 2 l w / (l + w), four times area over perimeter.

    length: Inside, l.
    width: Inside, w.
    depth: Of the media, h.
    size: Of a piece, d.
    voidage: Far from walls, ε.
    bulk_density: Of a piece with its pores, B.
    Raises: the tray is narrower than 1.5 pieces.
    Source: BenyahiaONeill2005 as coded in fluids, for balls in round containers.
    Validity: the room that side walls add; floor and open top are left out.
    Departures: walls thin out every shape by the share by which they thin out balls, and a
        rectangle counts as a round container of equal area over perimeter (our own steps).

    >>> tray = {"length": Q(200, "mm"), "width": Q(150, "mm"), "depth": Q(60, "mm")}
    >>> balls = {"size": Q(15, "mm"), "voidage": 0.4, "bulk_density": Q(1125, "kg/m**3")}
    >>> media_in_tray(**tray, **balls).mass.round(3)
    <Quantity(1.193, 'kilogram')>
    """
    across = hydraulic_width(length, width)
    # An endless container has no wall.
    looser = (1.0 - library_voidage(size, across)) / (1.0 - library_voidage(size, np.inf))
    filled = (1.0 - voidage) * looser
    volume = length * width * depth
    return TrayFill(filled * bulk_density * volume, volume, 1.0 - filled)


@public(returns="", sources=())
def cost_per_area(
    price: Annotated[Number, Range(0, 1e6)],
    area_per_mass: Annotated[Amount, AREAS_PER_MASS],
) -> Number:
    """Return what a square metre of surface costs, as a plain number in the money of the price.

    The dearest kilogram can be the cheapest surface, or the other way round.

    Equation: c = p / A_m.

    price: Money for one kilogram, in any currency.
    area_per_mass: Outer surface, see `area_per_mass`.
    Returns: Money for one m².
    Source: arithmetic.
    Validity: outer surface only; figures for pore walls would make any porous piece look cheap.

    >>> round(cost_per_area(12, Q(0.711, "m**2/kg")), 1)
    16.9
    """
    return price / area_per_mass
