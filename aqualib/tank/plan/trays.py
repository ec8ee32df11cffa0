"""The trays of a filter in plain numbers: what each holds, how high it is, and what fits in."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from aqualib.filtration.media import media_kind
from aqualib.filtration.media.bed import MediaBed, media_bed
from aqualib.parameters import parameter
from aqualib.tank.plan.parts import MEDIA, Tray
from aqualib.units import from_si
from aqualib.validity import Range, ValidityError


class Place(NamedTuple):
    """One tray in SI numbers: what it holds, its height, and the media in it."""

    holds: str
    height: float
    media: float
    """Kilograms; none in a tray without media."""


class Box(NamedTuple):
    """A filter's body and its trays, in SI numbers."""

    round_filter: bool
    floor: float
    width: float
    length: float
    places: tuple[Place, ...]


def box(is_round: bool, width: float, length: float, trays: tuple[Tray, ...], share: float) -> Box:
    """Return floor, sides and trays of a filter, in SI units."""
    floor = math.pi / 4.0 * width**2 if is_round else width * length
    _check_floor(floor)
    places = tuple(_place(tray, floor, share) for tray in trays)
    return Box(is_round, floor, width, length, places)


FLOORS = Range(1, 1e6, "cm**2")


def _check_floor(floor: float) -> None:
    shown = from_si(floor, "cm**2")
    if not FLOORS.holds(shown):
        why = "is no floor of a filter"
        raise ValidityError("filter.width", f"{shown:.3g} cm**2", FLOORS.text, "", why)


def _place(tray: Tray, floor: float, share: float) -> Place:
    """Return a tray in SI; media left open fill it, and more than fits is refused."""
    height = float(tray.bare.height)
    if tray.holds not in MEDIA:
        return Place(tray.holds, height, 0.0)
    fits = fitting_mass(tray.holds, floor * height)
    if tray.bare.media is None:
        return Place(tray.holds, height, fits)
    media = float(tray.bare.media) * share
    if media > (1.0 + HEAPED) * fits:
        valid = f"up to about {fits:.3g} kg, which fill this tray"
        raise ValidityError("filter.trays.media", f"{media:.3g} kg", valid, "", "do not fit")
    return Place(tray.holds, height, media)


HEAPED = parameter("voidage_doubt").value * 5.0
"""How much more than our estimate may fit: pieces pack closer than the table says."""


def full_of(kind: str, height: float, floor: float) -> Place:
    """Return a tray of this height on this floor, full of a kind of media."""
    return Place(kind, height, fitting_mass(kind, floor * height))


@lru_cache(maxsize=1024)
def fitting_mass(kind: str, room: float) -> float:
    """Return the media in kg that fill a room in m³."""
    return room * float(one_kilogram(kind).bed_density)


@lru_cache(maxsize=64)
def one_kilogram(kind: str) -> MediaBed:
    """Return what a kilogram of a kind of media gives, in SI numbers."""
    found: MediaBed = media_bed.bare(media_kind(kind), 1.0)
    return found
