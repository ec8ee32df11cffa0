"""The panel of lesson 12: a keeper's own readings, laid over the forecast they make."""

from __future__ import annotations

from datetime import timedelta
from functools import lru_cache, partial

import numpy as np

from aqualib.files import data_file
from aqualib.lesson.charts.log_forecast import LogForecastChart, Outlook
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.tank.maturation import Scenario
from aqualib.tank.test_log import diagnose, fit_log, read_test_log
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.fit import LogForecast
from aqualib.tank.test_log.log import KeepersLog
from aqualib.units import Q


def example_log() -> KeepersLog:
    """Return the invented readings that come with the lessons."""
    return read_test_log(data_file("example_test_log.csv"), start="2026-03-02")


def example_scenario() -> Scenario:
    """Return what the keeper of the invented log says of the tank."""
    return Scenario(
        volume=Q(100, "L"),
        media_area=Q(5, "m**2"),
        load=Q(0.1, "g/day"),
        seed=0.001,
        days=Q(60, "day"),
    )


@lru_cache(maxsize=128)
def _fitted(log: KeepersLog, scenario: Scenario) -> tuple[LogForecast, tuple[str, ...]]:
    forecast = fit_log(log, scenario)
    return forecast, diagnose(forecast)


def compute(log: KeepersLog, scenario: Scenario, *, days_used: float, certainty: float) -> Outlook:
    """Forecast from the readings up to a day, and say by when the tank is safe with a certainty."""
    nitrogen = [reading.day for reading in log.readings if reading.what in NITROGEN]
    until = max([day for day in nitrogen if day <= days_used], default=min(nitrogen))
    forecast, said = _fitted(log.until(until), scenario)
    days = float(forecast.scenario.in_days.days)
    safe = forecast.day_by(certainty)
    return Outlook(log, days, until, certainty, forecast, said, safe)


def describe(outlook: Outlook) -> str:
    """Say what the picture shows, then what the readings say."""
    forecast = outlook.forecast
    end = f"day {outlook.days:.0f}"
    sure = f"{100.0 * outlook.certainty:.0f} % sure"
    by = f"by day {np.ceil(outlook.safe_day):.0f}" if outlook.in_time else f"not by {end}"
    head = (
        f"{len(forecast.readings)} readings up to day {outlook.used:g} are used. "
        f"Safe for good with you {sure}: {by}."
    )
    return " ".join([head, *outlook.said])


def answer(outlook: Outlook) -> tuple[str, str]:
    """Give the highlighted number: the day on which one may be so sure that it is safe."""
    what = f"Safe for good, {100.0 * outlook.certainty:.0f} % sure"
    if not outlook.in_time:
        return what, f"not by day {outlook.days:.0f}"
    day = int(np.ceil(outlook.safe_day))
    return what, f"day {day}, {outlook.log.start + timedelta(days=day)}"


def readings_panel(log: KeepersLog | None = None, scenario: Scenario | None = None) -> Panel:
    """Return the panel of lesson 12, for the invented log or for a keeper's own."""
    readings = example_log() if log is None else log
    told = example_scenario() if scenario is None else scenario
    controls = {
        "days_used": Slider("Use readings up to day", "log_days_used", 1.0),
        "certainty": Slider("How sure do you want to be?", "wanted_certainty", 1.0),
    }
    title = "Is my own filter working, and what happens next?"
    outlook = partial(compute, readings, told)
    return Panel(title, controls, outlook, LogForecastChart(), describe, answer)
