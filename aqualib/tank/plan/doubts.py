"""Which measurement would shrink the doubt most: each unknown alone, from low to high."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from aqualib.draws import Span
from aqualib.parameters import parameter
from aqualib.tank.plan.assumed import Assumption
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.system import System
from aqualib.tank.plan.trays import one_kilogram
from aqualib.tank.plan.what_it_does import Outcome, carries, nitrate_peak

GUESSED_FOOD = 2.0
"""Food that nobody weighed may be half or double: a judgement."""
GUESSED_FLOW = 1.5
"""A flow worked out from the box may be so many times less or more: a judgement."""


class Unknown(NamedTuple):
    """Something that could be measured, and what it alone leaves open.

    `low` and `high` are multiples of the food given that the filter carries, or, where `of` is
    "nitrate", kg/m³ of nitrate before a change.
    """

    name: str
    measure: str
    lesson: str
    of: str
    low: float
    high: float

    @property
    def width(self) -> float:
        """How far apart the ends are, as the log of their ratio."""
        if self.low > 0.0:
            return math.log(self.high / self.low)
        return math.inf if self.high > 0.0 else 0.0


def widest_unknowns(
    system: System, whole: Filled, now: Outcome, count: int | None = 3
) -> tuple[Unknown, ...]:
    """Return the unknowns whose measurement would shrink the doubt most, the widest first.

    `count` None takes them all.
    """
    found = [*_of_margin(system, whole, now), *_of_nitrate(system, whole)]
    moving = [unknown for unknown in found if unknown.width > HARDLY]
    return tuple(sorted(moving, key=lambda unknown: unknown.width, reverse=True)[:count])


FIELDS = {
    "food": "stock.food",
    "temperature": "water.temperature",
    "protein": "stock.protein",
    "air": "tank.air",
    "tap nitrate": "water.tap_nitrate",
    "change": "care.change",
}
"""An unknown -> the field of a system that was left open; the rest are unknown in any system."""


def widest_assumed(unknowns: Iterable[Unknown], assumed: Iterable[Assumption]) -> Unknown | None:
    """Return the first of the unknowns, the widest first, that was assumed; None if none was."""
    places = {one.place for one in assumed}
    return next((one for one in unknowns if FIELDS.get(one.name) in places), None)


HARDLY = 0.02
"""An unknown that moves the answer by less is none."""


def _of_margin(system: System, whole: Filled, now: Outcome) -> Iterator[Unknown]:
    """Give what the share of the food that is carried hangs on."""
    if not whole.feed:
        return
    again = _again(whole, now)
    if not system.stock.gives("food"):
        yield _food(now.carried.feed.best / whole.feed)
    if not system.pump.gives("measured_flow"):
        ends = (again(flow=now.flow * by) for by in (1.0 / GUESSED_FLOW, GUESSED_FLOW))
        yield _of_food("flow", "Time a bucket under the outlet", "04", ends)
    if whole.media:
        yield _surface(whole, now, again)
    yield _dirt(now, again)
    yield _film(whole, now)
    if not system.water.gives("temperature"):
        warm = parameter("tank_temperature").bare
        ends = (again(temperature=warm + by) for by in (-GUESSED_DEGREES, GUESSED_DEGREES))
        yield _of_food("temperature", "Read a thermometer", "01", ends)
    if not system.tank.gives("air"):
        ends = (again(air=whole.air * by) for by in (1.0 / GUESSED_AIR, GUESSED_AIR))
        how = "Test oxygen at dawn: it shows how much air the surface takes in"
        yield _of_food("air", how, "07", ends)
    if not system.stock.gives("protein"):
        row = parameter("food_protein")
        ends = (again(protein=row.to_base(end)) for end in (row.low, row.high))
        yield _of_food("protein", "Read the protein on the tin", "02", ends)


def _of_food(name: str, measure: str, lesson: str, ends: Iterable[float]) -> Unknown:
    """Return an unknown for what is carried, in multiples of the food given, at its two ends."""
    low, high = sorted(ends)
    return Unknown(name, measure, lesson, "food", low, high)


def _food(margin: float) -> Unknown:
    how = "Weigh the food of a week, and divide by seven"
    return _of_food("food", how, "02", (margin / GUESSED_FOOD, margin * GUESSED_FOOD))


def _surface(whole: Filled, now: Outcome, again: Callable[..., float]) -> Unknown:
    spans = [one_kilogram(place.holds).outer_area for place in whole.media]
    factors = min(s.low / s.best for s in spans), max(s.high / s.best for s in spans)
    how = "Weigh a litre of your media, and measure ten pieces with a ruler"
    return _of_food("surface", how, "06", (again(area=now.media_area * by) for by in factors))


def _dirt(now: Outcome, again: Callable[..., float]) -> Unknown:
    row = parameter("dirt_per_pad_litre")
    ends = (again(held=now.dirt_held * end / row.value) for end in (row.low, row.high))
    how = "Dry and weigh the dirt of one cleaning, and note how many days it took"
    return _of_food("dirt", how, "05", ends)


def _film(whole: Filled, now: Outcome) -> Unknown:
    """Return the film's unknown: no more is carried than the other parts let through."""
    spread, carried = now.carried.surface, now.carried
    others = min(end.best for end in (carried.filter_oxygen, carried.tank_oxygen, carried.dirt))
    ends = (min(end, others) / whole.feed for end in (spread.low, spread.high))
    how = "Log the tests of two weeks: they show how much of the film nitrifies"
    return _of_food("film", how, "12", ends)


GUESSED_AIR = 3.0
"""A surface that nobody judged may take in so many times less or more air: a judgement."""
GUESSED_DEGREES = 3.0
"""Kelvin by which a tank that nobody measured may differ: a judgement."""


def _again(whole: Filled, now: Outcome) -> Callable[..., float]:
    """Return a function that gives food carried over food given with some numbers changed."""

    def run(
        area: float | None = None,
        flow: float | None = None,
        held: float | None = None,
        temperature: float | None = None,
        protein: float | None = None,
        air: float | None = None,
    ) -> float:
        changed = whole._replace(
            air=whole.air if air is None else air,
            temperature=whole.temperature if temperature is None else temperature,
            protein=whole.protein if protein is None else protein,
        )
        found = carries(
            changed,
            (now.media_mass, now.media_area if area is None else area),
            now.pad_area,
            now.flow if flow is None else flow,
            now.dirt_held if held is None else held,
        )
        feed: Span = found.feed
        return float(feed.best) / whole.feed

    return run


def _of_nitrate(system: System, whole: Filled) -> Iterator[Unknown]:
    """Give what the nitrate in the long run hangs on."""
    if not whole.change:
        return
    if not system.water.gives("tap_nitrate"):
        row = parameter("fill_nitrate")
        ends = [
            nitrate_peak(whole._replace(tap_nitrate=row.to_base(end)))
            for end in (row.low, row.high)
        ]
        yield Unknown("tap nitrate", "Test the tap water for nitrate", "11", "nitrate", *ends)
    if not system.care.gives("change"):
        row = parameter("change_share")
        ends = [nitrate_peak(whole._replace(change=by * row.bare)) for by in (0.5, 2.0)]
        how = "Measure how far the water level falls at a water change"
        yield Unknown("change", how, "11", "nitrate", *sorted(ends))
