"""The changes inside a filter: other things in its trays, or the same in another order."""

from __future__ import annotations

from collections.abc import Iterator

from aqualib.running_tank import running_tank
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.parts import (
    CARBON,
    CATCHERS,
    CHEMICALS,
    MEDIA,
    NOTHING,
    PADS,
    SETTLING,
    ZEOLITE,
)
from aqualib.tank.plan.trays import Place, fitting_mass, full_of
from aqualib.tank.plan.what_it_buys import Change
from aqualib.water.ph_scales import FRESH_BELOW

WORTH_A_TRIP = 0.05
"""Less media than this share more is not worth buying."""


def in_the_trays(whole: Filled) -> Iterator[Change]:
    """Give every change of what stands in the trays."""
    in_use = (
        _order,
        _restage,
        _settle,
        _first_pad,
        _for_the_fine,
        _for_the_carbon,
        _for_the_bag,
        _fill,
    )
    for make in (*in_use, _pads, _media):
        yield from make(whole)


RANKS = {SETTLING: 0, **{grade: n for n, grade in enumerate(CATCHERS, start=1)}}


def in_order(places: tuple[Place, ...]) -> list[Place]:
    """Return trays in the order settle, coarse, medium, fine, then what is chemical, then media."""
    return sorted(places, key=_rank)


def _rank(place: Place) -> int:
    if place.holds in RANKS:
        return RANKS[place.holds]
    if place.holds in CHEMICALS:
        return len(RANKS)
    return len(RANKS) + (2 if place.holds == NOTHING else 1)


def _order(whole: Filled) -> Iterator[Change]:
    sorted_ = in_order(whole.places)
    if [p.holds for p in sorted_] != [p.holds for p in whole.places]:
        bags = " and ".join(held_bags(whole) or [CARBON])
        yield Change(
            "order",
            f"Put the trays in order: settle, coarse, medium, fine, {bags}, then media",
            "Each pad then meets only what the one before it lets through.",
            "05",
            whole.with_trays(sorted_),
        )


def held_bags(whole: Filled) -> list[str]:
    """Return the chemical media that the filter holds."""
    return [kind for kind in CHEMICALS if whole.holding(kind)]


def gives_back(whole: Filled) -> bool:
    """Return whether zeolite lies in salt water, where a loaded one gives its ammonia back."""
    return bool(whole.holding(ZEOLITE)) and whole.salinity >= FRESH_BELOW


def _first_empty(whole: Filled) -> tuple[Place | None, list[Place]]:
    """Return the first empty tray, None if there is none, and the trays beside it."""
    places = list(whole.places)
    at = next((n for n, place in enumerate(places) if place.holds == NOTHING), None)
    return (None if at is None else places.pop(at)), places


def _restage(whole: Filled) -> Iterator[Change]:
    """Put the trays in order, and let the water settle where the carbon was."""
    if whole.holding(CARBON) and whole.holding(*CATCHERS) and not whole.holding(SETTLING):
        at = _last(whole, CARBON)
        settling = whole.with_tray(at, whole.places[at]._replace(holds=SETTLING))
        yield Change(
            "settle for the carbon",
            "Take the carbon out when it is spent, make its tray a settling space first in the "
            "water's way, and put the rest in order",
            "The heaviest dirt sinks before it reaches a pad; carbon is full within weeks.",
            "13",
            settling.with_trays(in_order(settling.places))._replace(carbon=0.0),
        )


def _first_pad(whole: Filled) -> Iterator[Change]:
    """Give a filter without a pad one, where no tray is empty."""
    if whole.holding(*CATCHERS) or whole.holding(NOTHING):
        return
    first, *rest = whole.places
    changed = whole.with_trays([first._replace(holds=PADS[0], media=0.0), *rest])
    yield Change(
        "a pad first",
        f"Put a coarse pad into the first tray, in place of its {first.holds}",
        "Without a pad the dirt settles in the media, where it rots.",
        "05",
        changed if changed.holding(CARBON) else changed._replace(carbon=0.0),
    )


def _settle(whole: Filled) -> Iterator[Change]:
    free, places = _first_empty(whole)
    if free is None or whole.holding(SETTLING):
        return
    yield Change(
        "settle",
        "Make the empty tray a settling space, first in the water's way",
        "The heaviest dirt sinks before it reaches a pad.",
        "05",
        whole.with_trays([free._replace(holds=SETTLING), *places]),
    )


def _last(whole: Filled, held: str) -> int:
    """Return which tray is the last that holds a thing."""
    return max(n for n, place in enumerate(whole.places) if place.holds == held)


def _swapped(whole: Filled, old: str, kind: str) -> Filled:
    """Return the system with the last tray of one thing full of media instead.

    It keeps its place: a change of order is a change of its own.
    """
    at = _last(whole, old)
    return whole.with_tray(at, full_of(kind, whole.places[at].height, whole.floor))


def own_kind(whole: Filled) -> str:
    """Return the kind of media that the system has most of, or the lessons'."""
    media = whole.media
    return max(media, key=lambda place: place.media).holds if media else running_tank().media


def _for_the_fine(whole: Filled) -> Iterator[Change]:
    if whole.holding("fine pad"):
        kind = own_kind(whole)
        yield Change(
            "media for the fine pad",
            f"Take the last fine pad out and fill its place with {kind}",
            "Media have less surface than a pad of foam, and let the finest dirt pass.",
            "06",
            _swapped(whole, "fine pad", kind),
        )


def _for_the_carbon(whole: Filled) -> Iterator[Change]:
    if whole.holding(CARBON):
        kind = own_kind(whole)
        yield Change(
            "media for the carbon",
            f"Take the carbon out when it is spent, and fill its place with {kind}",
            "Carbon is full within weeks; media work for years.",
            "10",
            _swapped(whole, CARBON, kind)._replace(carbon=0.0),
        )


def _for_the_bag(whole: Filled) -> Iterator[Change]:
    """Give the media that could lie where resin, phosphate remover or zeolite does."""
    kind = own_kind(whole)
    for bag in held_bags(whole):
        at_once = bag == ZEOLITE and gives_back(whole)
        pace = "now, with" if at_once else "a part a week with"
        if bag != CARBON:
            yield Change(
                f"media for the {bag}",
                f"Take the {bag} out, {pace} a test of ammonia every day, and fill its place with "
                f"{kind}",
                "Such media are full one day; bacteria on media work for years.",
                "13",
                _swapped(whole, bag, kind),
            )


def _fill(whole: Filled) -> Iterator[Change]:
    """Fill trays of media to the top."""
    full = [
        p._replace(media=max(p.media, fitting_mass(p.holds, whole.floor * p.height)))
        if p.holds in MEDIA
        else p
        for p in whole.places
    ]
    more = sum(p.media for p in full) - sum(p.media for p in whole.places)
    if more > WORTH_A_TRIP * sum(p.media for p in whole.places):
        yield Change(
            "fill the trays",
            f"Fill the trays of media to the top: {more:.2g} kg more",
            "Surface grows with the kilograms.",
            "06",
            whole.with_trays(full),
        )


def _pads(whole: Filled) -> Iterator[Change]:
    """Use an empty tray for a coarse pad, first of the pads."""
    free, places = _first_empty(whole)
    if free is not None:
        yield Change(
            "a pad in the empty tray",
            "Put a coarse pad into the empty tray, before the other pads",
            "Foam holds dirt, and its clean part carries bacteria.",
            "05",
            whole.with_trays(_before_the_pads(places, free._replace(holds=PADS[0]))),
        )


def _before_the_pads(places: list[Place], new: Place) -> list[Place]:
    """Return trays with a new one in front of the first pad, or last where there is none."""
    pads = [n for n, place in enumerate(places) if place.holds in CATCHERS]
    at = pads[0] if pads else len(places)
    return [*places[:at], new, *places[at:]]


def _media(whole: Filled) -> Iterator[Change]:
    """Use an empty tray for media."""
    if whole.holding(NOTHING):
        kind = own_kind(whole)
        yield Change(
            "media in the empty tray",
            f"Fill the empty tray with {kind}",
            "Surface grows with the kilograms.",
            "06",
            _swapped(whole, NOTHING, kind),
        )
