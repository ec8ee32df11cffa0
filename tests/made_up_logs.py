"""Test logs of tanks whose truth is known, drawn from the model and from the error of tests."""

from datetime import date
from functools import cache
from typing import NamedTuple

import numpy as np

from aqualib.draws import HIGH, LOW, of_the_next
from aqualib.parameters import parameter
from aqualib.tank.maturation.scenario import Scenario
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import LogModel, near_zero, scaled
from aqualib.units import Q

TANK = Scenario(seed=3e-3, days=Q(90, "day"))
LENGTHS = (8, 14, 20, 28)
REACH = (0.2, 0.05, 1.0)
"""The smallest step of each test: what lies below is written with a "<"."""


class MadeUp(NamedTuple):
    log: KeepersLog
    ready: float
    places: np.ndarray


def made_up(number, tank=TANK, every=2):
    """Log `number` of a tank whose parameters are drawn from their ranges."""
    random = np.random.default_rng([2026, number])
    model = LogModel(tank, [Reading(1, 0.0, "ammonia", 1.0)])
    places = random.standard_normal(len(model.prior.names))
    followed = model.followed(places)
    rows, ready = followed.rows, followed.ready
    relative = parameter("test_relative_error").value
    readings = []
    for day in range(1, LENGTHS[number % len(LENGTHS)] + 1, every):
        for row, what in enumerate(NITROGEN):
            seen = scaled(max(rows[row, 4 * day], 0.0), row) + random.standard_normal()
            value = float(np.sinh(relative * seen) / relative * near_zero()[row])
            below = value < REACH[row]
            read = (REACH[row], "<") if below else (value, "=")
            readings.append(Reading(day, float(day), what, *read))
    log = KeepersLog(f"made up {number}", date(2026, 1, 1), tuple(readings), (), (), ())
    return MadeUp(log, ready, places)


@cache
def fit_of(number):
    """The forecast that a made-up log gives."""
    return fit_log(made_up(number).log, TANK)


class Verdict(NamedTuple):
    """How forecasts of made-up logs fare, without the doubt of the model: numbers of logs."""

    inside: int
    too_late: int
    """The truth came before the band began."""
    too_early: int
    places: np.ndarray
    """Where the truth lies in each forecast, 0 to 1; even if all is as it should be."""


def judge_forecasts(numbers):
    inside = late = early = 0
    places = []
    random = np.random.default_rng(7)
    for number in numbers:
        made, forecast = made_up(number), fit_of(number)
        low, high = (of_the_next(forecast.days_of_model, share) for share in (LOW, HIGH))
        late += made.ready < low
        early += made.ready > high
        inside += low <= made.ready <= high
        days = forecast.days_of_model
        below, equal = np.mean(days < made.ready), np.mean(days == made.ready)
        places.append(below + random.random() * equal)
    return Verdict(inside, late, early, np.array(places))
