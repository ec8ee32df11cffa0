"""What a test log says in plain words: tonight first, then the day, then what would tell more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.test_log.forecast import LogForecast
from aqualib.tank.test_log.last_readings import Tonight, tonight
from aqualib.tank.test_log.narrower import next_test
from aqualib.tank.test_log.no_day import SPENT, Known, NoDay, alkalinity_had, fall_of_ph
from aqualib.tank.test_log.when import day_and_width, two_figures
from aqualib.units import number
from aqualib.validity import ValidityError, quoted
from aqualib.water.nitrogen import alkalinity_demand

GROUPS = {
    "ammonia_oxidiser_growth": "ammonia oxidisers",
    "nitrite_oxidiser_growth": "nitrite oxidisers",
}
SLOW = 0.8
"""Of the usual growth: below it, even at the upper end of the band, a group is called slow."""
FIRST = 0.95
"""Share of what fits, from which the filter is called ready."""
COLD = 20.0


@dataclass(frozen=True)
class Report:
    """What is to be said, in the order of need. No sentence replaces a test."""

    tonight: Tonight
    day: str
    """The day with its width, or why none is named."""
    next: str
    """What to measure next."""
    remarks: tuple[str, ...]
    headline: str
    """The day in a few words."""

    @property
    def sentences(self) -> tuple[str, ...]:
        """Everything, the most pressing first."""
        first = (f"Day {self.tonight.day:g}: {self.tonight.state}", f"To do: {self.tonight.to_do}")
        rest = (words for words in (self.day, self.next, *self.remarks) if words)
        return (*first, *rest)

    def __str__(self) -> str:
        return "\n".join(self.sentences)

    __repr__ = __str__


def report(forecast: LogForecast) -> Report:
    """Return what the readings and the forecast say, the most pressing first."""
    valid = "a forecast, such as fit_log(...) returns"
    if not isinstance(forecast, LogForecast):
        raise ValidityError("forecast", quoted(forecast), valid, "", "is no forecast")
    state = tonight(forecast.log, forecast.scenario)
    parts = (_dates, _slips, _slow, _scatter, _condition, _conditions)
    remarks = tuple(words for part in parts for words in part(forecast))
    if forecast.no_day:
        return no_day_report(state, forecast.no_day, remarks)
    headline = day_and_width(forecast.ready)
    ready = _is_ready(forecast)
    if ready:
        headline = f"since about day {forecast.ready.middle:.0f}"
    day = " ".join(_day(forecast, state))
    return Report(state, day, "" if ready else _next(forecast), remarks, headline)


def no_day_report(state: Tonight, reason: NoDay, remarks: tuple[str, ...] = ()) -> Report:
    """Return the report of a log from which no day is named."""
    day = f"No day can be named. {reason.why}"
    next_ = f"What would decide: {reason.measure}"
    return Report(state, day, next_, remarks, "no day can be named yet")


def _is_ready(forecast: LogForecast) -> bool:
    return forecast.chance_by(forecast.log.last_day) >= FIRST


def _day(forecast: LogForecast, state: Tonight) -> Iterator[str]:
    if _is_ready(forecast):
        if state.safe:
            yield (
                "By the readings the filter already carries the planned load. Test before and "
                "after you add animals, a few at a time."
            )
        else:
            yield "The fit calls the filter ready, the last reading does not: believe the reading."
        return
    low, middle, high = forecast.ready
    end = float(forecast.scenario.in_days.days)
    if np.isinf(low):
        yield f"Not safe by day {end:g} in anything that fits: {forecast.never_because}."
        return
    yield f"Safe for good: {day_and_width(forecast.ready)}."
    if np.isfinite(high):
        ends = f"day {low:.0f} and day {two_figures(np.ceil(high))}"
        yield f"90 % of what fits lies between {ends}, most likely day {middle:.0f}."
    else:
        late = 1.0 - forecast.chance_by(end)
        yield (
            f"In {100.0 * late:.0f} % of what fits it is not by day {end:g}: "
            f"{forecast.never_because}."
        )
    why = forecast.best.held_up_by(forecast.log.last_day)
    if why:
        yield f"What holds it up today: {why}."


def _dates(forecast: LogForecast) -> Iterator[str]:
    if forecast.no_day or _is_ready(forecast) or np.isinf(forecast.ready.high):
        return
    low, high = (
        forecast.log.start + timedelta(days=int(day))
        for day in (forecast.ready.low, np.ceil(forecast.ready.high))
    )
    yield f"By the calendar: {low} to {high}."


def _next(forecast: LogForecast) -> str:
    """Say which test would narrow the band most, and how if it is off its scale now."""
    test = next_test(forecast)
    if test is None:
        return "Another test of all three in two days narrows it."
    found = forecast.log.of(test.what)
    words = f"What would narrow it most: {test.what} on day {test.day:g}."
    if not found:
        words += f" So far no {test.what} was read."
    elif found[-1].sign == ">":
        words += (
            " It was off the scale: mix one part of tank water with nine of water without any, "
            "and take the reading times ten."
        )
    return words


def _slips(forecast: LogForecast) -> Iterator[str]:
    for slip in forecast.slips:
        yield (
            f"Line {slip.line}: {slip.what} {number(slip.value, 2)} mg/L as N on day {slip.day:g} "
            "is not used: neither the tests before and after nor the food allow it. Look for a "
            "slip of the pen."
        )


def _slow(forecast: LogForecast) -> Iterator[str]:
    names = [
        group
        for name, group in GROUPS.items()
        if forecast.factors[name].high < SLOW * parameter(name).value
    ]
    if names:
        yield (
            f"The {' and '.join(names)} grow slower than usual at this temperature: look at "
            "oxygen, alkalinity, pH, and what was put into the water."
        )


def _scatter(forecast: LogForecast) -> Iterator[str]:
    if forecast.widened and not forecast.no_day:
        yield (
            f"The readings lie {number(forecast.misfit, 2)} times as far from the model as tests "
            "should: something happened that is not in the plan. The band is widened for it."
        )


def _condition(forecast: LogForecast) -> Iterator[str]:
    """Say what alkalinity the day takes for granted."""
    scenario = forecast.scenario
    if forecast.no_day or not scenario.alkalinity_kept or _is_ready(forecast):
        return
    day = min(forecast.ready.middle, float(scenario.in_days.days))
    told = float(np.interp(day, forecast.best.course.time, forecast.nitrogen_told))
    used = float(alkalinity_demand.bare(told))
    known = Known(forecast.log, scenario, forecast.best.course.time, forecast.nitrogen_told)
    had = alkalinity_had(known)
    if used > SPENT * had:
        yield (
            f"It holds only while alkalinity lasts: by then the bacteria use up to "
            f"{two_figures(used)} mg/L as CaCO3, and you speak of {two_figures(had)}. Measure it "
            "weekly, and top it up."
        )


def _conditions(forecast: LogForecast) -> Iterator[str]:
    fall = fall_of_ph(forecast.log)
    if fall and not forecast.no_day:
        yield f"The pH fell by {number(fall, 1)}: follow alkalinity; nitrifiers use it up."
    if forecast.scenario.in_days.temperature < COLD:
        celsius = number(forecast.scenario.in_days.temperature)
        yield f"At {celsius} °C nitrifiers are slow."
