"""Is the tank safe, from which day on, and if not, why not?

Safe means: total ammonia below its chronic limit, nitrite below its level, and both groups able to
oxidise the whole planned load at those levels; from that day to the last.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.arguments import one_number
from aqualib.parameters import parameter
from aqualib.tank.maturation.course import Course
from aqualib.tank.maturation.rates import Growth, TankWater, growth, limits
from aqualib.units import ZERO_CELSIUS
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.properties import SALINITIES

LOWEST_PH, HIGHEST_PH = 6.5, 9.0
"""Between them the ammonia limits are printed; beyond, the limit of the end holds."""
HALF = 0.5
"""A factor that leaves less than this of full growth is named as the cause."""
NEARLY_FULL = 0.8


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
        _capacities(course, part, number, water, values, nitrite_limit)
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
) -> tuple[Any, Any, Any]:
    """Return the ammonia limit and both capacities at the times of `part`."""
    now = course.stretches[number].conditions
    g = course.growth[number]
    if not now.running:
        # A short cut takes no bacteria away: judge what they do when flow is back.
        g = growth(values, water, now._replace(running=True))
    state = course.state
    alkalinity = state.alkalinity[part]
    limit = _ammonia_limit(alkalinity, now.celsius, water)
    share_a, share_n = limits(g, limit, nitrite_limit, alkalinity)
    cells_a = state.film_a[part] + state.water_a[part]
    cells_n = state.film_n[part] + state.water_n[part]
    capacity_a = g.growth_a * share_a * cells_a * g.per_yield_a
    capacity_n = g.growth_n * share_n * cells_n * g.per_yield_n
    return limit, capacity_a, capacity_n


def _ammonia_limit(alkalinity: Any, celsius: float, water: TankWater) -> Any:
    if water.kept and np.ptp(alkalinity) == 0.0:
        only = float(alkalinity.flat[0])
        return _limit_at(water.ph + float(np.log10(only / water.alkalinity)), celsius, water)
    ph = water.ph + np.log10(np.maximum(alkalinity, 1e-9) / water.alkalinity)
    return _chronic(np.clip(ph, LOWEST_PH, HIGHEST_PH), celsius, water)


@lru_cache(maxsize=256)
def _limit_at(ph: float, celsius: float, water: TankWater) -> float:
    return float(_chronic(min(max(ph, LOWEST_PH), HIGHEST_PH), celsius, water))


def _chronic(ph: Any, celsius: float, water: TankWater) -> Any:
    kelvin = celsius + ZERO_CELSIUS
    return 1000.0 * total_ammonia_limits.bare(ph, kelvin, water.salinity, water.ph_scale).chronic


def safe_nitrite(salinity: float) -> float:
    """Return the level of nitrite that is called safe, in mg/L as nitrogen."""
    return _nitrite_level(one_number("salinity", salinity, SALINITIES))


def _nitrite_level(salinity: float) -> float:
    share = min(salinity / parameter("sea_salinity").value, 1.0)
    fresh, sea = parameter("safe_nitrite").value, parameter("safe_nitrite_sea").value
    return fresh + (sea - fresh) * share


def _margin(should_be_above: Any, should_be_below: Any) -> Any:
    return (should_be_above - should_be_below) / (should_be_above + should_be_below + 1e-300)


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
    low, high = columns[last, each], columns[after, each]
    rise = np.where(high > low, high - low, 1.0)
    day = time[last] - low / rise * (time[after] - time[last])
    day = np.where(bad.any(axis=0), np.where(never, np.nan, day), time[0])
    return day.reshape(margin.shape[1:]) if margin.ndim > 1 else float(day[0])


def reason(course: Course, safety: Safety, index: int) -> str:
    """Return in plain words why the tank is not safe for good at a time, "" if it is from then."""
    if safety.least[index:].min() >= 0.0:
        return ""
    ammonia, nitrite, few_a, few_n = (margin[index] < 0.0 for margin in safety.margins)
    if not (ammonia or nitrite or few_a or few_n):
        return "safe now, but not to the end: something later breaks it"
    number = int(course.stretch_of[index])
    g, now, state = course.growth[number], course.stretches[number].conditions, course.state
    if not now.running:
        return "the power is off: no flow and no oxygen"
    alkalinity = state.alkalinity[index]
    if alkalinity / (alkalinity + g.half_alkalinity) < HALF:
        return "alkalinity is used up"
    if ammonia or few_a:
        return _why_ammonia(course, g, index, bool(few_a), now.available)
    return _why_nitrite(course, g, index, bool(few_n))


def _why_ammonia(course: Course, g: Growth, index: int, few: bool, available: float) -> str:
    state = course.state
    if g.growth_a <= g.decay_a:
        return "ammonia oxidisers cannot grow: too cold, or too little oxygen"
    if available < HALF:
        return "ammonia is bound, out of reach of the ammonia oxidisers"
    if state.film_a[index] > NEARLY_FULL * g.full_a and few:
        return "the media are full of ammonia oxidisers: too little surface for the load"
    if not few:
        return "ammonia oxidisers are enough now, but ammonia is not yet used up"
    return "ammonia oxidisers are still too few"


def _why_nitrite(course: Course, g: Growth, index: int, few: bool) -> str:
    state = course.state
    if g.growth_n <= g.decay_n:
        return "nitrite oxidisers cannot grow: too cold, or too little oxygen"
    if few and state.film_n[index] > NEARLY_FULL * g.full_n:
        return "the media are full of nitrite oxidisers: too little surface for the load"
    if not few:
        return "nitrite oxidisers are enough now, but nitrite is not yet used up"
    return "nitrite oxidisers are the late ones: still too few"
