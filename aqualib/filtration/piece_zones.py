"""What a piece of medium does at which depth, from its surface to its middle, in a few words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from aqualib.filtration.piece_nature import pore_film_share
from aqualib.filtration.porous_piece import (
    WorkingPiece,
    bare_working_piece,
    has_units,
    with_unit,
)

NITRIFYING = "nitrifying"
STARVED = "starved"
DENITRIFYING = "denitrifying"
IDLE = "idle"
CLOSED = "closed"
KINDS = {
    NITRIFYING: "oxygen: nitrifying",
    STARVED: "oxygen, little ammonia",
    DENITRIFYING: "no oxygen: removes nitrate",
    IDLE: "no oxygen, no food: idle",
    CLOSED: "pores too narrow for bacteria",
}
"""Each kind of zone, with what it says."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A layer in which one thing happens; depths below the surface of the film, bare in m."""

    kind: str
    top: Any
    bottom: Any


def zones(working: WorkingPiece) -> tuple[Zone, ...]:
    """Return the layers of a result, from the surface to the middle; with units if it has them."""
    if has_units(working):
        return tuple(
            Zone(zone.kind, *(with_unit("depth", place) for place in (zone.top, zone.bottom)))
            for zone in zones(bare_working_piece(working.piece, working.water, working.nature))
        )
    piece, nature = working.piece, working.nature
    lived_in = pore_film_share.bare(piece.pore_diameter, nature.pore_film, nature.smallest_pore)
    open_to = piece.outer if lived_in and not piece.solid else piece.film
    # Where oxygen is scarce at the surface already, that little still nitrifies.
    with_oxygen = min(working.anoxic_depth or working.busy_depth, open_to)
    busy = min(working.busy_depth, with_oxygen)
    fed = min(max(working.fed_depth, with_oxygen), open_to)
    places = (0.0, busy, with_oxygen, fed, open_to)
    kinds = (NITRIFYING, STARVED, DENITRIFYING, IDLE)
    found = [Zone(*each) for each in zip(kinds, places[:-1], places[1:], strict=True)]
    if not piece.solid:
        found.append(Zone(CLOSED, open_to, piece.outer))
    return tuple(zone for zone in found if zone.bottom > zone.top)
