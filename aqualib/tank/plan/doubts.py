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
    margin = now.carried.feed.best / whole.feed
    if not system.stock.gives("food"):
        yield Unknown(
            "food",
            "Weigh the food of a week, and divide by seven",
            "02",
            "food",
            margin / GUESSED_FOOD,
            margin * GUESSED_FOOD,
        )
    again = _again(whole, now)
    if not system.pump.gives("measured_flow"):
        ends = [again(flow=now.flow * by) for by in (1.0 / GUESSED_FLOW, GUESSED_FLOW)]
        yield Unknown("flow", "Time a bucket under the outlet", "04", "food", *sorted(ends))
    if whole.media:
        spans = [one_kilogram(place.holds).outer_area for place in whole.media]
        factors = [min(s.low / s.best for s in spans), max(s.high / s.best for s in spans)]
        ends = [again(area=now.media_area * by) for by in factors]
        how = "Weigh a litre of your media, and measure ten pieces with a ruler"
        yield Unknown("surface", how, "06", "food", *sorted(ends))
    dirt = parameter("dirt_per_pad_litre")
    ends = [
        again(held=now.dirt_held * by) for by in (dirt.low / dirt.value, dirt.high / dirt.value)
    ]
    how = "Dry and weigh the dirt of one cleaning, and note how many days it took"
    yield Unknown("dirt", how, "05", "food", *sorted(ends))
    how = "Log the tests of two weeks: they show how much of the film nitrifies"
    spread = now.carried.surface
    others = min(
        end.best for end in (now.carried.filter_oxygen, now.carried.tank_oxygen, now.carried.dirt)
    )
    yield Unknown(
        "film", how, "12", "food", *(min(e, others) / whole.feed for e in (spread.low, spread.high))
    )
    if not system.water.gives("temperature"):
        row = parameter("tank_temperature")
        ends = [again(temperature=row.bare + by) for by in (-GUESSED_DEGREES, GUESSED_DEGREES)]
        yield Unknown("temperature", "Read a thermometer", "01", "food", *sorted(ends))
    if not system.stock.gives("protein"):
        row = parameter("food_protein")
        ends = [again(protein=row.to_base(end)) for end in (row.high, row.low)]
        yield Unknown("protein", "Read the protein on the tin", "02", "food", *sorted(ends))


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
    ) -> float:
        changed = whole._replace(
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
