"""A test log laid beside the model: what fits the readings, and on which day the tank is safe.

Fitted are the seed, the load, the nitrate of the tap and every row of the model that has a range.
Each has as its prior the range it has in a forecast without readings (`draws.at_share`). What
the keeper says of seed and load is doubted besides, so the band of a log with hardly a reading is
wider than that of `bands`; readings make it narrower.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from aqualib.draws import HIGH, LOW, MIDDLE, Band, nearest, of_the_next
from aqualib.tank.maturation import Scenario, Temperature
from aqualib.tank.maturation.scenario import LONGEST, must_be_scenario
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.forecast import LogForecast
from aqualib.tank.test_log.least_squares import Fit, estimate_in_few_calls, learn
from aqualib.tank.test_log.log import KeepersLog, Reading, must_be_log
from aqualib.tank.test_log.model import EVERY_HALF_DAY, Followed, LogModel
from aqualib.tank.test_log.model_doubt import doubted
from aqualib.tank.test_log.no_day import CELSIUS_OF_MODEL, PH_OF_MODEL, Known, why_no_day
from aqualib.tank.test_log.slips import slips_of_the_pen
from aqualib.units import Q
from aqualib.validity import ValidityError

STEP = 0.03
"""Of a standard deviation of the prior, for derivatives."""
TOLERANCE = 1e-2
"""The search ends when a step betters the sum of squares by less than this share."""
PAIRS = 25
"""Draws come in pairs, on both sides of the best fit."""
STEPS, FIRST_SHARE = 2, 0.5
"""How many steps a draw is given to fit, and how much of the first one is taken."""
NEAR = 1e-6
"""Squared distance at which a draw is where it should be."""
FIRST_GUESSES = (-2.0, -1.0, 0.0, 1.0, 2.0)
"""Seeds to start the search from, in standard deviations of the prior."""
MISFIT = 1.5
"""Readings that scatter so much more than tests do make the band wider."""


def fit_log(log: KeepersLog, scenario: Scenario) -> LogForecast:
    """Return the forecast of a tank for which there are readings.

    The scenario says what the keeper knows: water, media, food, events. Its last day is the end
    of the forecast. A reading on the day of an event counts as taken after it.
    """
    must_be_log(log)
    known = with_log_conditions(scenario, log)
    nitrogen = tuple(reading for reading in log.readings if reading.what in NITROGEN)
    _refuse(log, nitrogen, known)
    slips = _slips(log, LogModel(known, nitrogen))
    sound = replace(log, readings=tuple(r for r in log.readings if r not in slips))
    used = tuple(reading for reading in nitrogen if reading not in slips)
    model = LogModel(known, used)
    start = min((model.guess(seed) for seed in FIRST_GUESSES), key=model.cost)
    found = estimate_in_few_calls(model.residuals, start, STEP, TOLERANCE)
    of_readings = found.residuals[: len(used)]
    misfit = float(np.sqrt(np.mean(of_readings**2)))
    widened = misfit > MISFIT
    places = _draws(model, found, misfit if widened else 1.0)
    followed = [model.followed(place) for place in places]
    rows = np.array([one.rows for one in followed])[:, :, EVERY_HALF_DAY]
    best = model.followed(found.values)
    told = model.nitrogen_told(found.values)
    days = np.array([one.ready for one in followed])
    middle = of_the_next(days, MIDDLE)
    return LogForecast(
        log=log,
        scenario=known,
        time=best.course.time[EVERY_HALF_DAY],
        **{what: _nearest_band(rows[:, place]) for place, what in enumerate(NITROGEN)},
        ready_days=doubted(days, log.last_day),
        days_of_model=days,
        no_day=why_no_day(Known(sound, known, best.course.time, told, misfit, middle)),
        never_because=_never_because(followed),
        factors=_factors(model, places),
        best=best,
        draws=rows,
        nitrogen_told=told,
        readings=used,
        slips=slips,
        residuals=of_readings,
        misfit=misfit,
        widened=widened,
    )


def _slips(log: KeepersLog, model: LogModel) -> tuple[Reading, ...]:
    course = model.course(model.guess(0.0))
    events = [event.in_days.at for event in model.scenario.events]
    return slips_of_the_pen(
        log, lambda day: float(np.interp(day, course.time, course.state.nitrogen_in)), events
    )


def with_log_conditions(scenario: Scenario, log: KeepersLog) -> Scenario:
    """Return the scenario with the median temperature and pH of the log, where it holds them.

    Beyond the reach of the model the nearest it can take stands for them; no day is named then.
    The first reading of alkalinity is that of the start.
    """
    must_be_scenario(scenario)
    must_be_log(log)
    told: dict[str, Any] = {}
    celsius, ph = log.middle("temperature"), log.middle("ph")
    if celsius is not None and not any(isinstance(e, Temperature) for e in scenario.events):
        told["temperature"] = Q(float(np.clip(celsius, *CELSIUS_OF_MODEL)), "degC")
    if ph is not None and scenario.alkalinity_kept:
        told["ph"] = float(np.clip(ph, *PH_OF_MODEL))
    alkalinity = log.of("alkalinity")
    if alkalinity:
        told["alkalinity"] = Q(max(alkalinity[0].value, 1.0), "mg/L")
    return replace(scenario, **told) if told else scenario


def _refuse(log: KeepersLog, used: Sequence[Reading], scenario: Scenario) -> None:
    if not used:
        valid = " ".join(log.questions) or "readings of ammonia, nitrite or nitrate"
        raise ValidityError("log", log.name, valid, "", "holds nothing to fit")
    days, last = scenario.in_days.days, max(reading.day for reading in used)
    if last > days:
        shown, valid = f"{days:g} day", f"{last:g} day or more, as the log reaches so far"
        if last > LONGEST:
            valid = f"a log of {LONGEST} days at most, such as log.until({days:g})"
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
        learn(slopes, there - off, step)
        if there @ there < off @ off:
            place, off, share = place + step, there, min(2.0 * share, 1.0)
        else:
            share *= 0.5
    return place


def _never_because(followed: Sequence[Followed]) -> str:
    late = [one for one in followed if np.isinf(one.ready)]
    causes = Counter(one.why_never for one in late)
    return causes.most_common(1)[0][0] if causes else ""


def _nearest_band(rows: Any) -> Band:
    return Band(*(nearest(rows, share) for share in (LOW, MIDDLE, HIGH)))


def _factors(model: LogModel, draws: Any) -> dict[str, Band]:
    each = [model.values(place) for place in draws]
    found = {}
    for name in model.prior.names:
        values = np.array([one[name] for one in each])
        found[name] = Band(*(of_the_next(values, share) for share in (LOW, MIDDLE, HIGH)))
    return found
