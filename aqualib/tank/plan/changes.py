"""What would help most: one change after the other, each by running the whole system again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from aqualib.running_tank import running_tank
from aqualib.tank.plan.new_water import NITRATE, water_plan
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.parts import AIR, CARBON, MEDIA, NOTHING, PADS, SETTLING
from aqualib.tank.plan.trays import Place, fitting_mass, full_of
from aqualib.tank.plan.what_it_does import VERDICTS, Outcome, nitrate_peak, outcome
from aqualib.units import SECONDS_PER_DAY, Q

SAME = 0.005
"""A number that moves by less has not moved."""
MOST_OF_THE_FLOW = 0.5
"""Where less than this share of the flow on the box arrives, the way takes most of it."""
WORTH_A_TRIP = 0.05
"""Less media than this share more is not worth buying."""
MOST_AIR = Q(AIR.high, AIR.unit).m_as("1/s")
BORES = (0.009, 0.012, 0.016, 0.019, 0.025, 0.032, 0.04, 0.05, 0.063, 0.075, 0.09, 0.11)
"""Hoses and pipes as they are sold, in m: common practice, no source."""


@dataclass(frozen=True)
class Change:
    """One change that could be made, in words, and the system with it."""

    name: str
    """A short name by which tests and panels know it."""
    words: str
    why: str
    """What it does, in one sentence."""
    lesson: str
    whole: Filled

    @cached_property
    def after(self) -> Outcome:
        """What the system does after it; it is run when first asked for."""
        return outcome(self.whole)


class Gains(NamedTuple):
    """What a change buys, each as a share of what was there."""

    food: float
    """By which the food carried rises."""
    margin: float
    """By which the food carried over the food given rises."""
    days: float
    """By which the days to cleaning rise."""
    nitrate: float
    """By which nitrate before a water change falls."""
    steps: int
    """How many steps the verdict comes nearer to the best."""

    @property
    def any(self) -> bool:
        """Whether anything is gained."""
        return max(self) > 0.0


def ranked_changes(whole: Filled, before: Outcome) -> tuple[Change, ...]:
    """Return every change that this system allows, the one that buys most first.

    What buys most is what brings a better verdict. Then, while there is not enough, what carries
    more of the food given; then what lasts longer between cleanings, then what holds nitrate
    lower. Changes that gain nothing come last, and stay.
    """
    enough = before.verdict == VERDICTS[0]

    def rank(change: Change) -> tuple[float, ...]:
        found = gains(before, change.after)
        share = _margin(change.after if found.margin else before)
        return found.steps, 0.0 if enough else share, found.days, found.nitrate, share

    return tuple(sorted(changes_of(whole, before), key=rank, reverse=True))


def gains(before: Outcome, after: Outcome) -> Gains:
    """Return what is gained from one outcome to the other."""
    return Gains(
        food=_more(before.carried.feed.best, after.carried.feed.best),
        margin=_more(_margin(before), _margin(after)),
        days=_more(before.due, after.due),
        nitrate=_more(after.nitrate_peak, before.nitrate_peak),
        steps=VERDICTS.index(before.verdict) - VERDICTS.index(after.verdict),
    )


def _margin(found: Outcome) -> float:
    """Return the food carried over the food given; where none is given, all of it."""
    carried = float(found.carried.feed.best)
    return carried / found.given if found.given else carried


def _more(old: float, new: float) -> float:
    """Return the gain as a share; what hardly moves has not moved."""
    if math.isinf(old) or math.isinf(new):
        return 0.0 if old == new else math.copysign(1.0, new - old)
    share = (new - old) / old if old else float(new > 0.0)
    return share if abs(share) >= SAME else 0.0


def changes_of(whole: Filled, before: Outcome) -> Iterator[Change]:
    """Give every change that this system allows."""
    for make in (_order, _restage, _settle, _first_pad, _for_the_fine, _for_the_carbon, _fill):
        yield from make(whole)
    for make in (_pads, _media, _bore):
        yield from make(whole)
    yield from _way_of_the_water(whole, before)
    yield from _by_hand(whole)


RANKS = {SETTLING: 0, **{grade: n for n, grade in enumerate(PADS, start=1)}}


def in_order(places: tuple[Place, ...]) -> list[Place]:
    """Return trays in the order settle, coarse, medium, fine, then what is chemical, then media."""
    return sorted(places, key=_rank)


def _rank(place: Place) -> int:
    if place.holds in RANKS:
        return RANKS[place.holds]
    return {CARBON: 4, NOTHING: 6}.get(place.holds, 5)


def _order(whole: Filled) -> Iterator[Change]:
    sorted_ = in_order(whole.places)
    if [p.holds for p in sorted_] != [p.holds for p in whole.places]:
        yield Change(
            "order",
            "Put the trays in order: settle, coarse, medium, fine, then media",
            "Each pad then meets only what the one before it lets through.",
            "05",
            whole.with_trays(sorted_),
        )


def _first_empty(whole: Filled) -> tuple[Place | None, list[Place]]:
    """Return the first empty tray, None if there is none, and the trays beside it."""
    places = list(whole.places)
    at = next((n for n, place in enumerate(places) if place.holds == NOTHING), None)
    return (None if at is None else places.pop(at)), places


def _restage(whole: Filled) -> Iterator[Change]:
    """Put the trays in order, and let the water settle where the carbon was."""
    if whole.holding(CARBON) and whole.holding(*PADS) and not whole.holding(SETTLING):
        places = list(whole.places)
        at = max(n for n, place in enumerate(places) if place.holds == CARBON)
        places[at] = places[at]._replace(holds=SETTLING)
        yield Change(
            "settle for the carbon",
            "Take the carbon out when it is spent, make its tray a settling space first in the "
            "water's way, and put the rest in order",
            "The heaviest dirt sinks before it reaches a pad; carbon is full within weeks.",
            "13",
            whole.with_trays(in_order(tuple(places)))._replace(carbon=0.0),
        )


def _first_pad(whole: Filled) -> Iterator[Change]:
    """Give a filter without a pad one, where no tray is empty."""
    if whole.holding(*PADS) or whole.holding(NOTHING):
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


def _swapped(whole: Filled, old: str, kind: str) -> Filled:
    """Return the system with the last tray of one thing full of media instead.

    It keeps its place: a change of order is a change of its own.
    """
    at = max(n for n, p in enumerate(whole.places) if p.holds == old)
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
    pads = [n for n, place in enumerate(places) if place.holds in PADS]
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


def _next_bore(whole: Filled) -> float:
    """Return the next wider hose that is sold, or the bore as it is where there is none."""
    wider = (bore for bore in BORES if bore > whole.bore * (1.0 + SAME))
    return next(wider, whole.bore)


def _bore(whole: Filled) -> Iterator[Change]:
    wider = _next_bore(whole)
    if wider > whole.bore and not whole.measured_flow:
        yield Change(
            "a wider hose",
            f"Fit the next wider hose, {1000.0 * wider:g} mm inside",
            "Friction falls with the fifth power of the bore; the filter's own parts stay narrow.",
            "04",
            whole._replace(bore=wider),
        )


def _way_of_the_water(whole: Filled, before: Outcome) -> Iterator[Change]:
    """Ease the water's way, where lift and hose take most of the flow that the box promises."""
    if whole.measured_flow or before.flow_clean > MOST_OF_THE_FLOW * whole.rated_flow:
        return
    if whole.lift:
        yield Change(
            "a lower outlet",
            "Lower the outlet to the water's surface",
            "The pump lifts no water then: all of its head is there for the flow.",
            "04",
            whole._replace(lift=0.0),
        )
    bore = _next_bore(whole)
    wider = (
        f" and fit the next wider ones, {1000.0 * bore:g} mm inside" if bore > whole.bore else ""
    )
    yield Change(
        "a shorter hose",
        f"Halve the length of the hoses{wider}",
        "Less wall to rub on; a lift that the pump cannot reach stays out of its reach.",
        "04",
        whole._replace(bore=bore, hose_length=whole.hose_length / 2.0),
    )


def _air(whole: Filled) -> Iterator[Change]:
    """Stir the surface, unless it boils already: no sum knows of more."""
    if 2.0 * whole.air <= MOST_AIR:
        yield Change(
            "more air",
            "Stir the surface twice as hard, with the outlet or an air stone",
            "Oxygen comes in through a moving surface.",
            "07",
            whole._replace(air=2.0 * whole.air),
        )


def _new_water(whole: Filled) -> Iterator[Change]:
    """Change the water as the plan advises it, where that is more than now."""
    found = water_plan(whole, nitrate_peak(whole))
    if found.ground == NITRATE:
        yield Change(
            "change more water",
            f"Change {100.0 * found.share:.0f} % of the water every {found.every} days",
            "Nitrate falls with the share; the filter carries no more for it.",
            "11",
            whole._replace(change=found.share, change_every=found.every * SECONDS_PER_DAY),
        )


def _by_hand(whole: Filled) -> Iterator[Change]:
    """What costs nothing, or next to it, but work."""
    yield from _air(whole)
    sooner = whole.clean_every / 2.0
    yield Change(
        "clean twice as often",
        "Rinse the pads twice as often",
        "Dirt taken out in time rots in the bucket, not in the tank.",
        "05",
        whole._replace(clean_every=sooner),
    )
    yield from _new_water(whole)
    yield Change(
        "feed a quarter less",
        "Feed a quarter less, if the animals stay well on it",
        "Ammonia, dirt and nitrate all begin as food.",
        "02",
        whole._replace(feed=0.75 * whole.feed, solids=0.75 * whole.solids),
    )
