"""A test log laid beside the model: what fits the readings, and on which day the tank is safe.

Fitted are the seed, the load, the nitrate of the tap and every row of the model that has a range.
Each has as its prior the range it has in a forecast without readings (`draws.at_share`). What
the keeper says of seed and load is doubted besides, so the band of a log with hardly a reading is
wider than that of `bands`; readings make it narrower.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from aqualib.draws import HIGH, LOW, MIDDLE, Band, nearest, of_the_next
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.course import OUTPUTS_A_DAY, Course
from aqualib.tank.maturation.verdict import Safety, ready_day
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.least_squares import Fit, estimate
from aqualib.tank.test_log.log import KeepersLog, Reading, must_be_log
from aqualib.tank.test_log.model import LogModel, rows_of
from aqualib.units import Q
from aqualib.validity import ValidityError

STEP = 0.03
"""Of a standard deviation of the prior, for derivatives."""
TOLERANCE = 1e-2
"""The search ends when a step betters the sum of squares by less than this share."""
PAIRS = 25
"""Draws come in pairs, on both sides of the best fit."""
STEPS, FIRST_SHARE = 4, 0.5
"""How many steps a draw is given to fit, and how much of the first one is taken."""
NEAR = 1e-6
"""Squared distance at which a draw is where it should be."""
FIRST_GUESSES = (-2.0, -1.0, 0.0, 1.0, 2.0)
"""Seeds to start the search from, in standard deviations of the prior."""
MISFIT = 1.5
"""Readings that scatter so much more than tests do make the band wider."""


@dataclass(frozen=True, eq=False)
class LogForecast:
    """What a test log says of the filter. Bands are mg/L as nitrogen at `time` (days)."""

    log: KeepersLog
    scenario: s.Scenario
    """As told, with the temperature and the pH of the log if it holds them."""
    time: Any
    ammonia: Band
    nitrite: Band
    nitrate: Band
    ready_days: Any
    """One number a draw; infinite if it does not get ready within the scenario."""
    factors: dict[str, Band]
    """What was fitted: 5, 50 and 95 per cent, in the unit of the row."""
    best: Course
    """What the best fit comes to, every six hours."""
    safety: Safety
    """Of the best fit."""
    nitrogen_told: Any
    """Ammonia, nitrite and nitrate together, mg/L, if the load were as told; as `best.time`."""
    readings: tuple[Reading, ...]
    residuals: Any
    """Of each reading, in standard deviations of a test."""
    misfit: float
    """Spread of the readings against that of a test: near 1 is as it should be."""
    widened: bool
    """True if the band was made wider because the readings scatter so much."""

    @property
    def ready(self) -> Band:
        """The day by which the tank is safe for good in 5, 50 and 95 per cent of what fits."""
        return Band(*(self.day_by(share) for share in (LOW, MIDDLE, HIGH)))

    def day_by(self, certainty: float) -> float:
        """Return the day by which the tank is safe with this chance (0 to 1); may be infinite."""
        return of_the_next(self.ready_days, certainty)

    def chance_by(self, day: float) -> float:
        """Return the chance (0 to 1) that the tank is safe for good by a day."""
        return float(np.mean(self.ready_days <= day))


def fit_log(log: KeepersLog, scenario: s.Scenario) -> LogForecast:
    """Return the forecast of a tank for which there are readings.

    The scenario says what the keeper knows: water, media, food, events. Its last day is the end
    of the forecast. A reading on the day of an event counts as taken after it.
    """
    must_be_log(log)
    known = with_log_conditions(scenario, log)
    used = tuple(reading for reading in log.readings if reading.what in NITROGEN)
    _refuse(log, used, known)
    model = LogModel(known, used)
    start = min((model.guess(seed) for seed in FIRST_GUESSES), key=model.cost)
    found = estimate(model.residuals, start, STEP, TOLERANCE)
    of_readings = found.residuals[: len(used)]
    misfit = float(np.sqrt(np.mean(of_readings**2)))
    widened = misfit > MISFIT
    draws = _draws(model, found, misfit if widened else 1.0)
    every = slice(None, None, OUTPUTS_A_DAY // 2)
    results = [_followed(model, place) for place in draws]
    rows = np.array([rows for rows, _ in results])[:, :, every]
    matter = (_nearest_band(rows[:, place]) for place in range(3))
    best, safety = model.judged(found.values)
    return LogForecast(
        log=log,
        scenario=known,
        time=best.time[every],
        **dict(zip(NITROGEN, matter, strict=True)),
        ready_days=np.array([ready for _, ready in results]),
        factors=_factors(model, draws),
        best=best,
        safety=safety,
        nitrogen_told=model.nitrogen_told(found.values),
        readings=used,
        residuals=of_readings,
        misfit=misfit,
        widened=widened,
    )


def with_log_conditions(scenario: s.Scenario, log: KeepersLog) -> s.Scenario:
    """Return the scenario with the median temperature and pH of the log, where it holds them."""
    s.must_be_scenario(scenario)
    must_be_log(log)
    told: dict[str, Any] = {}
    celsius, ph = log.middle("temperature"), log.middle("ph")
    if celsius is not None and not any(isinstance(e, s.Temperature) for e in scenario.events):
        told["temperature"] = Q(celsius, "degC")
    if ph is not None and scenario.alkalinity_kept:
        told["ph"] = ph
    return replace(scenario, **told) if told else scenario


def _refuse(log: KeepersLog, used: Sequence[Reading], scenario: s.Scenario) -> None:
    if not used:
        valid = "readings of ammonia, nitrite or nitrate"
        raise ValidityError("log", log.name, valid, "", "holds nothing to fit")
    days, last = scenario.in_days.days, max(reading.day for reading in used)
    if last > days:
        shown, valid = f"{days:g} day", f"{last:g} day or more, as the log reaches so far"
        if last > s.LONGEST:
            valid = f"a log of {s.LONGEST} days at most, such as log.until({days:g})"
        raise ValidityError("days", shown, valid, "", "ends before the log does")


def _draws(model: LogModel, found: Fit, wider: float) -> Any:
    """Return places that fit the readings about as well as they should, each as likely.

    Directions are drawn from the normal curve around the best fit. The residuals each would have
    if the model were straight are then sought with the model as it is.
    """
    random = np.random.default_rng(0)
    root = np.linalg.cholesky(found.covariance) * wider
    away = random.standard_normal((PAIRS, len(found.values))) @ root.T
    return np.array([_sought(model, found, one) for one in np.concatenate([away, -away])])


def _sought(model: LogModel, found: Fit, away: Any) -> Any:
    """Return the place whose residuals come near those of a straight model at `away`.

    Each step is kept only if it comes nearer, so no draw fits worse than it starts. What is
    learnt of the slopes on the way is kept (Broyden's update).
    """
    place, slopes = found.values, found.slopes.copy()
    off, share = -(slopes @ away), FIRST_SHARE
    for _ in range(STEPS):
        if off @ off < NEAR:
            break
        step = -share * np.linalg.solve(slopes.T @ slopes, slopes.T @ off)
        there = model.residuals(place + step) - found.residuals - found.slopes @ away
        slopes += np.outer(there - off - slopes @ step, step) / (step @ step)
        if there @ there < off @ off:
            place, off, share = place + step, there, min(2.0 * share, 1.0)
        else:
            share *= 0.5
    return place


def _followed(model: LogModel, place: Any) -> tuple[Any, float]:
    """Return the three courses of a draw, and the day it is ready."""
    course, safety = model.judged(place)
    ready = ready_day(course.time, safety)
    return rows_of(course), np.inf if np.isnan(ready) else ready


def _nearest_band(rows: Any) -> Band:
    return Band(*(nearest(rows, share) for share in (LOW, MIDDLE, HIGH)))


def _factors(model: LogModel, draws: Any) -> dict[str, Band]:
    each = [model.prior.values(place) for place in draws]
    found = {}
    for name in model.prior.names:
        values = np.array([one[name] for one in each])
        found[name] = Band(*(of_the_next(values, share) for share in (LOW, MIDDLE, HIGH)))
    return found
