"""What a piece is: which pad, which kind of media, carbon, or rock that fizzes."""

from __future__ import annotations

from typing import NamedTuple

from aqualib.draws import Span
from aqualib.filtration.media import (
    MediaKind,
    immersion_porosity,
    media_kinds,
    worth_of_a_kilogram,
)
from aqualib.parameters import parameter
from aqualib.tank.inspection.kitchen_powders import cut_from_powders, grade_of, in_micrometres
from aqualib.tank.inspection.observed import (
    AMMONIA,
    BEADS,
    BLACK,
    BROWN,
    FIZZES,
    MARKS,
    NO_MARKS,
    PALE,
    PHOSPHATES,
    SHAPES,
    SHEET,
    SQUEEZES,
    UNTOLD,
    WADDING,
    Piece,
)
from aqualib.tank.plan.parts import CARBON, FLOSS, PHOSPHATE, RESIN, ZEOLITE
from aqualib.tank.plan.trays import one_kilogram
from aqualib.units import Q, Quantity
from aqualib.validity import ValidityError

CARBONATES = ("coral rubble",)
"""Kinds of media that fizz in vinegar."""


class Found(NamedTuple):
    """What a piece is, in SI units."""

    holds: str
    """Its name among what a tray may hold."""
    words: str
    """How that was told."""
    cut: Span | None
    """Cut size of a pad that was tested."""
    area: Span | None
    """Outer surface of a kilogram of media."""
    density: float
    """Of a bed of media, by which kilograms become litres; 0 for what is no media."""
    is_carbonate: bool
    is_worn: bool

    @property
    def area_per_litre(self) -> float:
        """Outer surface of a litre of media, in m²."""
        return float(self.area.best) * self.density / 1000.0 if self.area else 0.0


def recognised(piece: Piece) -> Found:
    """Return what a piece is, from what was observed of it."""
    fizzes = piece.vinegar == FIZZES[1]
    if piece.looks == SHEET:
        return _pad(piece)
    if piece.looks == WADDING:
        return _floss(piece)
    if piece.looks in GRAINS or (piece.looks == BLACK and piece.cloth != NO_MARKS):
        return Found(*_in_a_bag(piece), None, None, 0.0, fizzes, False)
    kind = nearest_kind(piece)
    area, density = _worth(piece, kind)
    ground = "by its three weighings" if piece.is_weighed else "by its looks alone: weigh it"
    if piece.looks == BLACK:
        ground = f"it leaves no mark, so it is stone or plastic and no carbon; {ground}"
    if kind.name in CARBONATES and fizzes:
        ground = "by its fizz"
    return Found(kind.name, ground, None, area, density, fizzes, False)


GRAINS = {BEADS: RESIN, BROWN: PHOSPHATE, PALE: ""}
"""Looks of chemical media -> what it is; pale grains may be two things."""


def _in_a_bag(piece: Piece) -> tuple[str, str]:
    """Return which chemical media a piece is, and how that was told."""
    if piece.looks == BLACK:
        if piece.cloth == MARKS:
            return CARBON, "black grains that mark a white cloth"
        return CARBON, "by its looks alone: rub it on a wet white cloth"
    if piece.looks != PALE:
        return GRAINS[piece.looks], "by its looks alone: ask what its bag says"
    if piece.meant_for == UNTOLD:
        valid = f"{AMMONIA} (zeolite) or {PHOSPHATES} (phosphate remover)"
        why = "tells nothing; look at its bag, and leave it out of the filter until then"
        raise ValidityError("meant_for", UNTOLD, valid, "", why)
    return ZEOLITE if piece.meant_for == AMMONIA else PHOSPHATE, "by what its bag says"


def _floss(piece: Piece) -> Found:
    """Return floss: it counts as fine as a fine pad, whatever the powders say of it."""
    cut = cut_from_powders(piece.catches, _thickness(piece)) if piece.catches else None
    words = f"wadding; {in_micrometres(cut)}" if cut else "wadding that tears like cotton wool"
    # It never springs back, new or old.
    return Found(FLOSS, words, cut, None, 0.0, False, False)


def _thickness(piece: Piece) -> float:
    thick = piece.bare.thickness
    return parameter("pad_reference_depth").bare if thick is None else float(thick)


def _pad(piece: Piece) -> Found:
    worn = piece.squeeze == SQUEEZES[1]
    if not piece.catches:
        return Found(
            "medium pad", "by its looks alone: do the cut test", None, None, 0.0, False, worn
        )
    cut = cut_from_powders(piece.catches, _thickness(piece))
    return Found(f"{grade_of(cut.best)} pad", in_micrometres(cut), cut, None, 0.0, False, worn)


def nearest_kind(piece: Piece) -> MediaKind:
    """Return the kind of media of this shape that is nearest in pores and weight."""
    of_shape = [kind for kind in media_kinds().values() if kind.shape == _shape(piece)]
    fizzes = piece.vinegar == FIZZES[1]
    tested = [k for k in of_shape if piece.vinegar is None or (k.name in CARBONATES) == fizzes]
    # What fizzes and has the shape of rings is still a ring.
    kinds = tested or of_shape
    if not piece.is_weighed:
        return kinds[0]
    bare = piece.bare
    weighed = immersion_porosity.bare(bare.handful, bare.suspended, bare.saturated)
    return min(
        kinds,
        key=lambda kind: _far(kind, float(weighed.apparent_porosity), float(weighed.bulk_density)),
    )


def _shape(piece: Piece) -> str:
    """Return the shape of loose pieces; black grains that leave no mark are taken for stone."""
    return "broken" if piece.looks == BLACK else SHAPES[piece.looks]


def _far(kind: MediaKind, porosity: float, piece: float) -> float:
    """Return how far weighings lie from a kind, in its open pores and in its lightness."""
    pores, closed = kind.bare("inner_porosity"), kind.bare("closed_share")
    solid = kind.bare("skeletal_density")
    lightness = piece / solid
    return (porosity - pores * (1.0 - closed)) ** 2 + (lightness - (1.0 - pores)) ** 2


def _worth(piece: Piece, kind: MediaKind) -> tuple[Span, float]:
    """Return surface of a kilogram and density of the bed: weighed, or the table's."""
    one = one_kilogram(kind.name)
    density = float(one.bed_density)
    if piece.bare.dry is not None and piece.bare.litres is not None:
        density = _told_density(piece.bare.dry, piece.bare.litres, density)
    if not piece.is_weighed or kind.shape == "carrier":
        return one.outer_area, density
    size = kind["size"].quantity if piece.size is None else piece.size
    own = worth_of_a_kilogram(piece.handful, piece.suspended, piece.saturated, kind.name, size)
    area = Span(*(float(end.m_as("m**2")) for end in own.outer_area))
    return area, density


TWICE = 2.0
"""Times what is usual; a weight and a jug that lie further apart do not speak of one heap."""


def _told_density(mass: float, volume: float, usual: float) -> float:
    """Return the density of a bed by scale and jug; refuse what no such media can have."""
    found = mass / volume
    if not usual / TWICE <= found <= usual * TWICE:
        valid = f"about {usual:.3g} kg for 1000 L, half or double at most"
        why = "does not go with its litres"
        raise ValidityError("dry", f"{found:.3g} kg for 1000 L", valid, "", why)
    return found


def litres_of(piece: Piece, found: Found, floor: float, height: float) -> float:
    """Return the room a piece takes in m³: by the jug, by its weight, or as it lies in its tray."""
    if piece.bare.litres is not None:
        return float(piece.bare.litres)
    if found.density and piece.bare.dry is not None:
        return float(piece.bare.dry) / found.density
    return floor * (piece.bare.thickness or height)


def in_litres(volume: float) -> Quantity:
    """Return a volume as a quantity."""
    return Q(volume, "m**3").to("L")
