"""Logs of tanks that obey the model, read without error, to break one thing at a time in them."""

from dataclasses import replace
from datetime import date
from functools import cache

from aqualib.tank.maturation import Scenario
from aqualib.tank.maturation.run import simulate
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.in_words import report
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.units import Q

TANK = Scenario(seed=0.01, alkalinity=Q(400, "mg/L"), days=Q(60, "day"))
SOFT = replace(TANK, alkalinity=Q(120, "mg/L"))
"""The same with less alkalinity than its nitrifiers use up in the days of the forecast."""
LONG_BEFORE = 40
"""A day on which this tank has long been ready."""


def log_of(readings):
    """A log that holds these readings."""
    return KeepersLog("made up", date(2026, 3, 2), tuple(readings), (), (), ())


def sound_log(days, change=lambda reading: reading, tank=TANK, values=None):
    """Readings of a tank every other day; each is passed through `change`."""
    state = simulate(tank, values).course.state
    readings = []
    for day in range(1, days + 1, 2):
        for what in NITROGEN:
            value = float(getattr(state, what)[4 * day]) + (1.0 if what == "nitrate" else 0.0)
            readings.append(change(Reading(day, float(day), what, value)))
    return log_of(readings)


def with_more(log, what, by_day):
    """The log with more readings of one kind, by day."""
    more = [Reading(900 + int(day), float(day), what, value) for day, value in by_day.items()]
    readings = sorted((*log.readings, *more), key=lambda reading: reading.day)
    return replace(log, readings=tuple(readings))


def only_nitrate(factor):
    """A change that multiplies each nitrate reading."""
    return lambda r: replace(r, value=r.value * factor) if r.what == "nitrate" else r


def zeros(nitrate, days=(1, 8, 15, 22)):
    """Ammonia and nitrite zero on each day, and these readings of nitrate."""
    return log_of(
        Reading(int(day), float(day), what, value)
        for day, last in zip(days, nitrate, strict=True)
        for what, value in zip(NITROGEN, (0.0, 0.0, last), strict=True)
    )


@cache
def forecast_of(days):
    """The forecast from a sound log of so many days."""
    return fit_log(sound_log(days), TANK)


@cache
def report_of(days):
    """The report on it."""
    return report(forecast_of(days))
