"""The tank of a scenario as a function of what is not known of it, beside readings.

This is the only module of the room that has tanks played and judged by `tank.maturation`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache, partial
from typing import Any, NamedTuple

import numpy as np
from scipy.special import ndtr

from aqualib.draws import between
from aqualib.parameters import Parameter, parameter
from aqualib.tank.maturation import Scenario, one_set
from aqualib.tank.maturation.course import OUTPUTS_A_DAY, Course, play, water_of
from aqualib.tank.maturation.rates import NAMES, best_values
from aqualib.tank.maturation.verdict import Safety, judge, ready_day, reason, why_never
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.least_squares import beyond
from aqualib.tank.test_log.log import Reading
from aqualib.water.nitrite_limits import safe_nitrite

PACES = ("ammonia_pace_guess", "nitrite_pace_guess")
OWN = ("seed_guess", "nitrite_seed_guess", "load_guess", "tap_nitrate", *PACES)
LIVES = (
    ("ammonia_oxidiser_growth", "ammonia_oxidiser_decay"),
    ("nitrite_oxidiser_growth", "nitrite_oxidiser_decay"),
)
"""What goes at the pace of either group."""
EVERY_HALF_DAY = slice(None, None, OUTPUTS_A_DAY // 2)
"""Of the times of a course."""
SOLVER = partial(one_set.solve, relative=3e-4, absolute=3e-4)
"""A hundredth of the error of a test is near enough."""
SEA_ONLY = frozenset({"sea_film_capacity", "sea_nitrite_pace"})


class Readings(NamedTuple):
    """The nitrogen readings as arrays: which row of the model, which day, what was read."""

    row: Any
    day: Any
    scaled: Any
    sign: Any
    """0 for a plain reading, -1 for "<", 1 for ">"."""


class Prior(NamedTuple):
    """The rows that are fitted, and their ranges."""

    names: tuple[str, ...]
    low: Any
    middle: Any
    high: Any

    def values(self, places: Any) -> dict[str, float]:
        """Return the rows' values at places in standard deviations of a normal curve."""
        found = between(self.low, self.middle, self.high, ndtr(places))
        return dict(zip(self.names, found.tolist(), strict=True))


def scaled(concentration: Any, row: Any) -> Any:
    """Return concentrations on a scale on which the error of a test is one everywhere.

    The error has a part that is always there and one in proportion: sqrt(a² + (r c)²).
    """
    relative = parameter("test_relative_error").value
    return np.arcsinh(relative * concentration / near_zero()[row]) / relative


@lru_cache(maxsize=1)
def near_zero() -> Any:
    """Return the error near zero of the tests of ammonia, nitrite and nitrate."""
    return np.array([parameter(f"test_{what}_error").value for what in NITROGEN])


class Followed(NamedTuple):
    """What becomes of one tank that fits."""

    course: Course
    safety: Safety
    ready: float
    """The day from which it is safe for good; infinite if there is none within the scenario."""
    why_never: str
    """Why it is not safe by the end: what no more days would mend, or what is still late."""

    @property
    def rows(self) -> Any:
        """Ammonia, nitrite and nitrate as three rows, mg/L as nitrogen."""
        return rows_of(self.course)

    def held_up_by(self, day: float) -> str:
        """Return in plain words what keeps it from being safe on a day, "" if nothing does."""
        index = int(np.searchsorted(self.course.time, day + 1e-9, side="right")) - 1
        return reason(self.course, self.safety, max(index, 0))


class LogModel:
    """The tank of a scenario as a function of places in the prior."""

    def __init__(self, scenario: Scenario, used: Sequence[Reading]) -> None:
        self.scenario = scenario
        self.readings = _arrays(used)
        self.times, self.which = np.unique(self.readings.day, return_inverse=True)
        self.prior = _prior(scenario.in_days.salinity > 0.0)

    def guess(self, seed: float) -> Any:
        """Return a place to start from: all as usual, but the seed."""
        places = np.zeros(len(self.prior.names))
        places[self.prior.names.index("seed_guess")] = seed
        return places

    def values(self, places: Any) -> dict[str, float]:
        """Return what is fitted, at places: a group that lives slower grows and dies slower."""
        values = self.prior.values(places)
        for pace, rows in zip(PACES, LIVES, strict=True):
            for row in rows:
                values[row] *= values[pace]
        return values

    def course(self, places: Any, times: Any | None = None) -> Course:
        """Return what becomes of the tank."""
        values = self.values(places)
        twin = _twin(self.scenario, values)
        course = play(twin, {**best_values(), **values}, SOLVER, times)
        course.state.nitrate = course.state.nitrate + values["tap_nitrate"]
        return course

    def residuals(self, places: Any) -> Any:
        """Return the residuals of the readings, then those of the prior."""
        rows = rows_of(self.course(places, self.times))
        return np.concatenate([self._of_readings(rows[:, self.which]), places])

    def cost(self, places: Any) -> float:
        """Return half the sum of the squared residuals."""
        found = self.residuals(places)
        return 0.5 * float(found @ found)

    def followed(self, places: Any) -> Followed:
        """Return what becomes of the tank to the end of the scenario, and when it is safe."""
        values = self.values(places)
        course = self.course(places)
        twin = _twin(self.scenario, values)
        planned = twin.per_litre(twin.in_days.load)
        water = water_of(twin)
        safety = judge(course, water, {**best_values(), **values}, planned)
        ready = float(ready_day(course.time, safety))
        if not np.isnan(ready):
            return Followed(course, safety, ready, "")
        last = len(course.time) - 1
        why = why_never(course, safety, water, planned) or reason(course, safety, last)
        return Followed(course, safety, np.inf, why)

    def nitrogen_told(self, places: Any) -> Any:
        """Return all nitrogen in the water, mg/L, if the load were as told and the tap clean."""
        told = places.copy()
        told[self.prior.names.index("load_guess")] = 0.0
        course = self.course(told)
        tap = self.values(told)["tap_nitrate"]
        return rows_of(course).sum(axis=0) - tap

    def _of_readings(self, rows: Any) -> Any:
        r = self.readings
        model = rows[r.row, np.arange(len(r.row))]
        off = r.scaled - scaled(np.maximum(model, 0.0), r.row)
        # "<": the true reading lies below what is written; ">": above.
        return np.where(r.sign == 0, off, beyond(np.where(r.sign < 0, off, -off)))


def nitrite_line(salinity: float) -> float:
    """Return the level of nitrite that is called safe, mg/L as nitrogen."""
    return 1000.0 * float(safe_nitrite.bare(salinity))


def rows_of(course: Course) -> Any:
    """Return ammonia, nitrite and nitrate as three rows, mg/L as nitrogen."""
    return np.array([getattr(course.state, what) for what in NITROGEN])


def _twin(scenario: Scenario, values: dict[str, float]) -> Scenario:
    """Return the scenario with the seeds and the load times their factors.

    Less water and media by the same factor are as good as more of every load.
    """
    share, seeds = values["load_guess"], scenario.seeds
    return scenario.with_bare(
        volume=scenario.bare.volume / share,
        media_area=scenario.bare.media_area / share,
        seed=seeds[0] * values["seed_guess"],
        nitrite_seed=seeds[1] * values["seed_guess"] * values["nitrite_seed_guess"],
    )


def _arrays(used: Sequence[Reading]) -> Readings:
    row = np.array([NITROGEN.index(reading.what) for reading in used])
    value = np.array([reading.value for reading in used])
    sign = np.array([{"<": -1, "=": 0, ">": 1}[reading.sign] for reading in used])
    return Readings(row, np.array([r.day for r in used]), scaled(value, row), sign)


@lru_cache(maxsize=2)
def _prior(salty: bool) -> Prior:
    rows: list[Parameter] = [parameter(name) for name in (*OWN, *NAMES)]
    # The strength of a seed and the size of a seed cannot be told apart.
    left_out = {"seed_strength"} | (set() if salty else SEA_ONLY)
    rows = [row for row in rows if row.low < row.high and row.name not in left_out]
    ranges = np.array([[row.low, row.value, row.high] for row in rows])
    return Prior(tuple(row.name for row in rows), *ranges.T)
