"""From kilograms to litres to surface: what a mass of one kind of media gives, with its range."""

from __future__ import annotations

import math
from typing import Annotated, Any, NamedTuple

from aqualib.draws import Span
from aqualib.edge import model
from aqualib.filtration.media.foam import cell_of_step, foam_area
from aqualib.filtration.media.kinds import LIMITS, MediaKind, media_kind
from aqualib.filtration.media.packing import bed_density
from aqualib.filtration.media.pieces import irregular_area, ring_area, sphere_area
from aqualib.filtration.media.surface import bed_area, pore_wall_area
from aqualib.filtration.media.working_shell import (
    ball_shell_share,
    ring_shell_share,
    walls_in_reach,
)
from aqualib.parameters import Parameter, or_row, parameter
from aqualib.units import Q
from aqualib.validity import Range, Turned, ValidityError

MEDIA_MASSES = Range(0.001, 1e4, "kg")
WORKING_DEPTHS = Range(0, 100, "mm")
LEAST_SOLID = 0.02
"""Share of solid below which a doubt in it is not followed: nothing so light is sold."""


NOTHING = Span(0.0, 0.0, 0.0)


class MediaBed(NamedTuple):
    """What a mass of media gives; `walls` are those of all open pores, `in_reach` a part of them.

    Working area is the outer area: see `walls_in_reach` for what the walls are worth.
    """

    volume: Span
    outer_area: Span
    in_reach: Span
    walls: Span
    bed_density: Any
    bulk_density: Any
    open_porosity: Any
    shell_share: Any


def limits(name: str) -> Range:
    """Return what a property of the table may be."""
    unit, low, high = LIMITS[name]
    return Range(low, high, unit)


KIND = Turned(lambda _, name: media_kind(name), "a name of media_kinds()")


def area_per_volume(kind: MediaKind, size: float, voidage: float) -> float:
    """Return the outer surface of a kind's pieces over their volume, in 1/m, at a size in m."""
    if kind.shape == "ring":
        hole, length = kind["hole_share"].bare * size, kind["length_share"].bare * size
        return float(ring_area.bare(size, hole, length))
    if kind.shape == "broken":
        return float(irregular_area.bare(size, kind["sphericity"].bare))
    if kind.shape == "foam":
        return float(foam_area.bare(cell_of_step(size), voidage)) / (1.0 - voidage)
    if kind.shape == "carrier":
        # A larger carrier of the same form has as much less surface.
        listed = kind["bed_area"].bare / (1.0 - kind["voidage"].bare)
        return listed * kind["size"].bare / size
    return float(sphere_area.bare(size))


def shell_share(kind: MediaKind, size: float, voidage: float, depth: float) -> float:
    """Return the share of a piece within `depth` in m of its surface."""
    area = area_per_volume(kind, size, voidage)
    if kind.shape == "ring":
        wall = size * (1.0 - kind["hole_share"].bare) / 2.0
        return float(ring_shell_share.bare(wall, size * kind["length_share"].bare, depth))
    if kind.shape == "foam":
        # A thread is a rod, and a rod has 4 / d of surface for its volume.
        return 1.0 - max(1.0 - depth * area / 2.0, 0.0) ** 2
    if kind.shape == "carrier":
        # Thin walls are plates, with 2 / w.
        return min(depth * area, 1.0)
    return float(ball_shell_share.bare(6.0 / area, depth))


def _check_pores(kind: MediaKind, inner_porosity: Any, pore_size: Any, **_: Any) -> None:
    if inner_porosity and pore_size is None and "pore_size" not in kind.numbers:
        why = f"is needed: the table knows no pores of {kind.name}"
        raise ValidityError("pore_size", None, limits("pore_size").text, "", why)


@model(
    returns={
        "volume": "L",
        "outer_area": "m**2",
        "in_reach": "m**2",
        "walls": "m**2",
        "bed_density": "kg/m**3",
        "bulk_density": "kg/m**3",
    },
    together=_check_pores,
)
def media_bed(
    kind: Annotated[MediaKind, KIND],
    mass: Annotated[float, MEDIA_MASSES],
    size: Annotated[float | None, limits("size")] = None,
    inner_porosity: Annotated[float | None, limits("inner_porosity")] = None,
    voidage: Annotated[float | None, limits("voidage")] = None,
    pore_size: Annotated[float | None, limits("pore_size")] = None,
    working_depth: Annotated[float | None, WORKING_DEPTHS] = None,
) -> MediaBed:
    """Return litres, outer area and pore walls of a mass of media, each low, best and high.

    What is left out is what the table says of the kind, and the row `working_depth`.

    kind: A name of `media_kinds()`.
    Raises: a kind without pores in the table is given some without their size.
    """
    size, gaps = kind.bare("size", size), kind.bare("voidage", voidage)
    pores = kind.bare("inner_porosity", inner_porosity)
    reach = or_row(working_depth, "working_depth")
    solid = kind["skeletal_density"].bare
    heavy = float(bed_density.bare(gaps, pores, solid))
    litres = mass / heavy
    outer = float(bed_area.bare(area_per_volume(kind, size, gaps), gaps)) * litres
    share = shell_share(kind, size, gaps, reach)
    opened = pores * (1.0 - kind["closed_share"].bare)
    weight, shape = swings(kind, pores)
    walls = in_reach = NOTHING
    if opened > 0.0:
        width = kind.bare("pore_size", pore_size)
        wide, narrow = ends_of_pores(kind, width)
        least = parameter("smallest_open_pore").bare
        per_litre = float(pore_wall_area.bare(opened, width, gaps))
        reached = float(walls_in_reach.bare(per_litre, share, width)) * litres
        finer = math.log(width / narrow)
        coarser = math.log(wide / width)
        walls = lopsided(per_litre * litres, (weight, coarser), (weight, finer))
        # Finer pores have more wall, down to those that are too fine for bacteria.
        finer = math.log(width / max(narrow, least)) if width > least else 0.0
        in_reach = lopsided(reached, (weight, shape, coarser), (weight, shape, finer))
        if narrow < least:
            in_reach = in_reach._replace(low=0.0)
    loose = spread(1.0 - gaps, parameter("voidage_doubt").bare)
    return MediaBed(
        volume=band(litres, weight, loose),
        outer_area=band(outer, weight, shape),
        in_reach=in_reach,
        walls=walls,
        bed_density=heavy,
        bulk_density=heavy / (1.0 - gaps),
        open_porosity=opened,
        shell_share=share,
    )


def swings(kind: MediaKind, pores: float) -> tuple[float, float]:
    """Return the doubt in the weight and in the shape of a piece, as swings of a log."""
    weight = math.hypot(
        half_log(kind["skeletal_density"]), spread(1.0 - pores, parameter("porosity_doubt").bare)
    )
    return weight, shape_swing(kind)


def shape_swing(kind: MediaKind) -> float:
    """Return the doubt in surface over volume of a piece, as a swing of a log."""
    parts = [math.log1p(parameter("piece_size_doubt").bare)]
    parts += [half_log(kind[n]) for n in ("sphericity", "bed_area") if n in kind.numbers]
    if kind.shape == "ring":
        hole = kind["hole_share"]
        parts.append(math.log((1.0 - hole.low) / (1.0 - hole.high)) / 2.0)
    if kind.shape == "foam":
        parts.append(half_log(parameter("foam_cell_ratio")))
    return math.hypot(*parts)


def half_log(number: Parameter) -> float:
    """Return half of the way from low to high, on a log scale."""
    return math.log(number.high / number.low) / 2.0


def spread(share: float, doubt: float) -> float:
    """Return the swing of the log of a share that may be off by `doubt` either way."""
    low, high = max(share - doubt, LEAST_SOLID), share + doubt
    return math.log(max(high / low, 1.0)) / 2.0


def band(best: float, *swing: float) -> Span:
    """Return a number with its range; doubts that know nothing of each other add as squares."""
    return lopsided(best, swing, swing)


def lopsided(best: float, down: tuple[float, ...], up: tuple[float, ...]) -> Span:
    """Return a number with its range, whose doubts differ downward and upward."""
    return Span(best / math.exp(math.hypot(*down)), best, best * math.exp(math.hypot(*up)))


def ends_of_pores(kind: MediaKind, width: float) -> tuple[float, float]:
    """Return the widest and narrowest pores, as far from `width` as the table's are from its own.

    A kind that has no pores in the table has them of one width.
    """
    known = kind.numbers.get("pore_size")
    if known is None:
        return width, width
    return width * known.high / known.value, width * known.low / known.value


def with_unit(estimate: Span, factor: float, unit: str) -> Span:
    """Return an estimate times a factor, as quantities."""
    return Span(*(Q(factor * number, unit) for number in estimate))
