"""Surface in a bed of media: outside the pieces, on the walls of their pores, and by weight."""

from __future__ import annotations

from typing import Annotated

from aqualib.edge import public
from aqualib.filtration.media.pieces import PIECE_SIZES, sphere_area
from aqualib.units import Amount, Number
from aqualib.validity import Range

BED_VOIDAGES = Range(0.2, 0.99)
BED_DENSITIES = Range(5, 5000, "kg/m**3")
BED_AREAS = Range(0.001, 100, "m**2/L")
AREAS_PER_MASS = Range(1e-4, 1000, "m**2/kg")


@public(returns="m**2/L", sources=())
def bed_area(
    area_per_volume: Annotated[Amount, Range(1, 1e6, "1/m")],
    voidage: Annotated[Number, BED_VOIDAGES],
) -> Number:
    """Return the outer surface of the pieces in a bed, in m² per litre of bed.

    This is the surface that counts first: water brushes past all of it.

    Equation: A = a (1 - ε), with a the surface of a piece over its volume.

    area_per_volume: See `sphere_area`, `ring_area` and `irregular_area`.
    voidage: Share of the bed between the pieces, ε.
    Returns: Times 1000 for m² per m³.
    Source: geometry.
    Validity: pieces that touch at points; flat ones that lie on each other hide some surface.

    >>> bed_area(Q(800, "1/m"), 0.6).round(3)
    <Quantity(0.32, 'meter ** 2 / liter')>
    """
    return area_per_volume * (1.0 - voidage)


@public(returns="m**2/L", sources=("Kolev2006",))
def sphere_bed_area(
    diameter: Annotated[Amount, PIECE_SIZES],
    voidage: Annotated[Number, BED_VOIDAGES],
) -> Number:
    """Return the outer surface of balls in a bed, in m² per litre of bed.

    Balls of 10 mm give a litre about as much surface as six sheets of paper have on one side.

    Equation: A = 6 (1 - ε) / d.

    Returns: Times 1000 for m² per m³.
    Source: geometry; Kolev2006 (table of measured beds) agrees within 2 %.
    Validity: smooth balls of one size.

    >>> sphere_bed_area(Q(10, "mm"), 0.4).round(3)
    <Quantity(0.36, 'meter ** 2 / liter')>
    """
    return bed_area.bare(sphere_area.bare(diameter), voidage)


@public(returns="m**2/L", sources=())
def pore_wall_area(
    inner_porosity: Annotated[Number, Range(0, 0.95)],
    pore_diameter: Annotated[Amount, Range(0.001, 10000, "um")],
    voidage: Annotated[Number, BED_VOIDAGES],
) -> Number:
    """Return the surface of the walls of all pores inside the pieces, in m² per litre of bed.

    It looks huge on paper, and is hardly used: oxygen is gone after a fraction of a millimetre,
    and pores narrower than about 0.01 mm have no room for bacteria.

    Equation: A = 4 P (1 - ε) / d, for straight round pores of one width d.

    inner_porosity: Open pores over the outer volume of a piece, P.
    Source: geometry. Pores that are round bubbles have 6 where straight ones have 4.
    Validity: an order of magnitude. Figures by adsorbed gas are far larger still, square metres
        a gram: a molecule of gas enters pores a thousand times narrower than any bacterium.

    >>> pore_wall_area(0.55, Q(200, "um"), 0.4).round(2)
    <Quantity(6.6, 'meter ** 2 / liter')>
    """
    return 4.0 * inner_porosity * (1.0 - voidage) / pore_diameter


@public(returns="m**2/kg", sources=())
def area_per_mass(
    area: Annotated[Amount, BED_AREAS],
    bed_density: Annotated[Amount, BED_DENSITIES],
) -> Number:
    """Return the surface of a kilogram of media, in m² per kg.

    Media are sold by the kilogram, but bacteria want surface: light pieces give more of it for
    the same weight. How closely the pieces lie cancels out.

    Equation: A_m = A / ρ_bed.

    area: From `bed_area`, `foam_area` or a table.
    bed_density: Dry media over the room they take, gaps included.
    Source: arithmetic.
    Validity: area and density of the same bed.

    >>> area_per_mass(Q(0.32, "m**2/L"), Q(450, "kg/m**3")).round(3)
    <Quantity(0.711, 'meter ** 2 / kilogram')>
    """
    return area / bed_density
