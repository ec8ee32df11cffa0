"""Is the tank safe, from which day on, and if not, why not?

Safe means three things, from that day to the last: total ammonia is below its chronic limit,
nitrite is below its level, and both groups could oxidise the whole planned load at those levels.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.tank.maturation.course import Course
from aqualib.tank.maturation.rates import Growth, TankWater, growth, paces
from aqualib.units import ZERO_CELSIUS
from aqualib.water.ammonia import PRINTED_PH, total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite

LOWEST_PH, HIGHEST_PH = PRINTED_PH.low, PRINTED_PH.high
"""Beyond them the limit of the end holds: below 6.5 by `total_ammonia_limits` itself."""
HALF = 0.5
"""A factor that leaves less than this of full growth is named as the cause."""
NEARLY_FULL = 0.8
NEARLY_ONE = (-1.0 + 1e-12, 1.0 - 1e-12)


class Safety(NamedTuple):
    """Limits and margins at each time; a margin is from -1 (far off) to 1, and safe from 0 up."""

    ph: Any
    ammonia_limit: Any
    nitrite_limit: Any
    capacity_a: Any
    """What the ammonia oxidisers could oxidise at the ammonia limit, mg/L/day."""
    capacity_n: Any
    margins: tuple[Any, Any, Any, Any]
    """Of ammonia, nitrite, ammonia oxidisers, nitrite oxidisers."""

    @property
    def least(self) -> Any:
        """The smallest margin at each time."""
        least = self.margins[0]
        for margin in self.margins[1:]:
            least = np.minimum(least, margin)
        return least


def judge(course: Course, water: TankWater, values: Mapping[str, Any], planned: float) -> Safety:
    """Return limits, capacities and margins for a planned load in mg/L/day."""
    state = course.state
    nitrite_limit = _nitrite_level(water.salinity)
    parts = [
        _capacities(course, part, number, water, values, nitrite_limit, planned)
        for number, part in _parts(course)
    ]
    ammonia_limit, capacity_a, capacity_n = (
        np.concatenate([np.broadcast_to(p[i], np.shape(p[1])) for p in parts]) for i in range(3)
    )
    ph = water.ph + np.log10(np.maximum(state.alkalinity, 1e-9) / water.alkalinity)
    margins = (
        _margin(ammonia_limit, state.ammonia),
        _margin(nitrite_limit, state.nitrite),
        _margin(capacity_a, planned),
        _margin(capacity_n, planned),
    )
    return Safety(ph, ammonia_limit, nitrite_limit, capacity_a, capacity_n, margins)


def _parts(course: Course) -> list[tuple[int, slice]]:
    """Return the runs of times with the same coefficients, each with one of its stretches."""
    edges = [0]
    stretch = course.stretch_of
    for place in np.flatnonzero(np.diff(stretch)) + 1:
        if course.growth[stretch[place]] is not course.growth[stretch[place - 1]]:
            edges.append(int(place))
    ends = [*edges[1:], len(stretch)]
    return [(int(stretch[a]), slice(a, b)) for a, b in zip(edges, ends, strict=True)]


def _capacities(
    course: Course,
    part: slice,
    number: int,
    water: TankWater,
    values: Mapping[str, Any],
    nitrite_limit: float,
    planned: float,
) -> tuple[Any, Any, Any]:
    """Return the ammonia limit and both capacities at the times of `part`.

    The film is taken to hand on the nitrite of the whole planned load.
    """
    now = course.stretches[number].conditions
    g = course.growth[number]
    if not now.running:
        # A short cut takes no bacteria away: judge what they do when flow is back.
        g = growth(values, water, now._replace(running=True))
    state = course.state
    alkalinity = state.alkalinity[part]
    limit = _ammonia_limit(alkalinity, now.celsius, water)
    film_a, film_n = state.film_a[part], state.film_n[part]
    at = paces(g, limit, nitrite_limit, alkalinity, film_a, film_n, made=planned)
    capacity_a = g.per_yield_a * (at.film_a * film_a + at.water_a * state.water_a[part])
    capacity_n = g.per_yield_n * (at.film_n * film_n + at.water_n * state.water_n[part])
    return limit, capacity_a, capacity_n


def _ammonia_limit(alkalinity: Any, celsius: float, water: TankWater) -> Any:
    if water.kept and np.ptp(alkalinity) == 0.0:
        only = float(alkalinity.flat[0])
        return _limit_at(water.ph + float(np.log10(only / water.alkalinity)), celsius, water)
    ph = water.ph + np.log10(np.maximum(alkalinity, 1e-9) / water.alkalinity)
    return _chronic(np.minimum(ph, HIGHEST_PH), celsius, water)


@lru_cache(maxsize=256)
def _limit_at(ph: float, celsius: float, water: TankWater) -> float:
    return float(_chronic(min(ph, HIGHEST_PH), celsius, water))


def _chronic(ph: Any, celsius: float, water: TankWater) -> Any:
    kelvin = celsius + ZERO_CELSIUS
    return 1000.0 * total_ammonia_limits.bare(ph, kelvin, water.salinity, water.ph_scale).chronic


@lru_cache(maxsize=256)
def _nitrite_level(salinity: float) -> float:
    """Return the level of nitrite that is called safe, in mg/L as nitrogen."""
    return 1000.0 * float(safe_nitrite.bare(salinity))


def _margin(should_be_above: Any, should_be_below: Any) -> Any:
    return (should_be_above - should_be_below) / (should_be_above + should_be_below + 1e-300)


def ready_day(time: Any, safety: Safety) -> Any:
    """Return the first time from which the tank stays safe; NaN if it does not.

    Each margin is followed by itself: between two times they do not cross nought together.
    """
    days = [first_day_it_stays(time, margin) for margin in np.broadcast_arrays(*safety.margins)]
    return np.maximum.reduce(days)


def first_day_it_stays(time: Any, margin: Any) -> Any:
    """Return the first time from which `margin` stays at 0 or above; NaN if it does not.

    `margin` has one row a time, and may have one column a set of parameters.
    """
    unsafe = margin < 0.0
    columns = margin.reshape(len(time), -1)
    bad = unsafe.reshape(len(time), -1)
    last = len(time) - 1 - np.argmax(bad[::-1], axis=0)
    never = bad[-1]
    after = np.minimum(last + 1, len(time) - 1)
    each = np.arange(columns.shape[1])
    # A margin is (a - b) / (a + b): between two times the logarithm of a / b is a straight line.
    low, high = (np.arctanh(np.clip(columns[at, each], *NEARLY_ONE)) for at in (last, after))
    rise = np.where(high > low, high - low, 1.0)
    day = time[last] - low / rise * (time[after] - time[last])
    day = np.where(bad.any(axis=0), np.where(never, np.nan, day), time[0])
    return day.reshape(margin.shape[1:]) if margin.ndim > 1 else float(day[0])


def held_up_by(course: Course, safety: Safety, ready: float) -> int | None:
    """Return the place in time that tells best why the tank was not safe before it was.

    It lies in the last stretch of unsafe days: the last moment at which bacteria were too few, or
    else its last moment. None if the tank was safe from the start.
    """
    before = np.flatnonzero(course.time < ready)
    unsafe = safety.least[before] < 0.0
    if not unsafe.any():
        return None
    last = int(np.flatnonzero(unsafe)[-1])
    safe = np.flatnonzero(~unsafe[:last])
    stretch = slice(int(safe[-1]) + 1 if len(safe) else 0, last + 1)
    *_, few_a, few_n = (margin[stretch] < 0.0 for margin in safety.margins)
    short = np.flatnonzero(few_a | few_n)
    return int(before[stretch][short[-1] if len(short) else -1])


def reason(course: Course, safety: Safety, index: int) -> str:
    """Return in plain words why the tank is not safe for good at a time, "" if it is from then."""
    if safety.least[index:].min() >= 0.0:
        return ""
    ammonia, nitrite, few_a, few_n = (margin[index] < 0.0 for margin in safety.margins)
    if not (ammonia or nitrite or few_a or few_n):
        return "safe now, but not to the end: something later breaks it"
    for_ammonia = bool(ammonia or few_a)
    few = bool(few_a if for_ammonia else few_n)
    return _lack(course, index, for_ammonia=for_ammonia) or _progress(
        course, index, for_ammonia=for_ammonia, few=few
    )


def why_never(course: Course, safety: Safety, water: TankWater, planned: float) -> str:
    """Return why more days would not make the tank safe, as things stand at the end.

    "" if nothing is in the way but time: a full film would carry the load.
    """
    at = len(course.time) - 1
    g = course.growth[int(course.stretch_of[at])]
    # As much oxygen as bacteria can ever use, to tell want of air from want of surface.
    airy = g._replace(oxygen=1e6)
    able, with_air = (_with_full_film(course, safety, planned, each) for each in (g, airy))
    ammonia, nitrite, few_a, few_n = (margin[at] < 0.0 for margin in safety.margins)
    unsafe = {"ammonia": ammonia or few_a, "nitrite": nitrite or few_n}
    for place, name in enumerate(unsafe):
        lack = _lack(course, at, for_ammonia=name == "ammonia") if unsafe[name] else ""
        if lack or able[place] < planned:
            too_little = "surface" if with_air[place] < planned else "oxygen"
            return lack or f"too little {too_little} for {name} oxidisers to carry the load"
    return (
        _lack(course, at, for_ammonia=True) if not water.kept and safety.ph[at] < LOWEST_PH else ""
    )


def _with_full_film(
    course: Course, safety: Safety, planned: float, g: Growth
) -> tuple[float, float]:
    """Return what both groups could oxidise at the limits if the media were full of them."""
    at = len(course.time) - 1
    levels = safety.ammonia_limit[at], safety.nitrite_limit, course.state.alkalinity[at]
    full = paces(g, *levels, g.full_a, g.full_n, made=planned)
    return g.per_yield_a * full.film_a * g.full_a, g.per_yield_n * full.film_n * g.full_n


def _lack(course: Course, index: int, *, for_ammonia: bool) -> str:
    """Return what is missing that bacteria cannot make good by growing, or nothing."""
    number = int(course.stretch_of[index])
    g, now = course.growth[number], course.stretches[number].conditions
    alkalinity = course.state.alkalinity[index]
    if not now.running:
        return "the power is off: no flow and no oxygen"
    if for_ammonia and alkalinity / (alkalinity + g.half_alkalinity) < HALF:
        return "alkalinity is used up"
    air = g.oxygen / (g.oxygen + (g.oxygen_half_a if for_ammonia else g.oxygen_half_n))
    grows, dies = (g.growth_a, g.decay_a) if for_ammonia else (g.growth_n, g.decay_n)
    if grows * air <= dies + g.detach:
        who = "ammonia" if for_ammonia else "nitrite"
        return f"{who} oxidisers cannot grow: too cold, or too little oxygen"
    if for_ammonia and now.available < HALF:
        return "ammonia is bound, out of reach of the ammonia oxidisers"
    return ""


def _progress(course: Course, index: int, *, for_ammonia: bool, few: bool) -> str:
    """Return how far the bacteria are."""
    g, state = course.growth[int(course.stretch_of[index])], course.state
    who, film, full = (
        ("ammonia", state.film_a, g.full_a) if for_ammonia else ("nitrite", state.film_n, g.full_n)
    )
    if not few:
        return f"there are enough bacteria by now, but some {who} is still left"
    if film[index] > NEARLY_FULL * full:
        return f"the media are full of {who} oxidisers: too little surface for the load"
    if for_ammonia:
        return "ammonia oxidisers are still too few"
    return "nitrite goes last: still too few of the bacteria that eat it"
