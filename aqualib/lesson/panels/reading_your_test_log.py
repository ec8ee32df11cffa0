"""The panel of lesson 12: a keeper's own readings, laid over the forecast they make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache, partial

from aqualib.lesson.asking import ChosenLog
from aqualib.lesson.charts.log_forecast import LogForecastChart, Outlook
from aqualib.lesson.controls import Control, Slider, Tick
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.maturation import Scenario
from aqualib.tank.test_log import OwnLog, OwnTank, example_log, fit_log, own_tank, report
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.forecast import LogForecast
from aqualib.tank.test_log.in_words import Report
from aqualib.tank.test_log.log import KeepersLog

TITLE = "Is my own filter working, and what happens next?"
NOTHING = "No picture of this file yet: see what the report above asks for."


@lru_cache(maxsize=128)
def _fitted(log: KeepersLog, scenario: Scenario) -> tuple[LogForecast, Report]:
    forecast = fit_log(log, scenario)
    return forecast, report(forecast)


def compute(log: KeepersLog, tank: OwnTank, *, days_used: float, nitrate: bool) -> Outlook:
    """Forecast from the readings up to a day, with those of nitrate or without."""
    until = max([day for day in _days(log) if day <= days_used], default=min(_days(log)))
    used = log.until(until)
    if not nitrate:
        used = replace(used, readings=tuple(r for r in used.readings if r.what != "nitrate"))
    forecast, said = _fitted(used, tank.long_enough_for(log))
    days = float(forecast.scenario.in_days.days)
    return Outlook(log, tank.whose, days, until, forecast, said)


def describe(outlook: Outlook | None) -> str:
    """Say how the water is, then what the picture shows."""
    if outlook is None:
        return NOTHING
    said = outlook.said
    return (
        f"{outlook.whose[0].upper()}{outlook.whose[1:]} on day {outlook.used:g}: "
        f"{said.tonight.short}. {len(outlook.forecast.readings)} readings used. {said.day}"
    )


def answer(outlook: Outlook | None) -> tuple[str, str]:
    """Give the state of tonight, and the day with its width, or that none is named."""
    if outlook is None:
        return "Nothing to draw yet:", "see the report above"
    return f"Tonight {outlook.said.tonight.short}. Safe for good:", outlook.said.headline


def readings_panel(log: KeepersLog | None = None, tank: OwnTank | None = None) -> Panel:
    """Return the panel of lesson 12, for the invented log or for a keeper's own."""
    readings = example_log() if log is None else log
    told = own_tank() if tank is None else tank
    controls, outlook = _over(readings, told)
    return Panel(TITLE, controls, outlook, LogForecastChart(), describe, answer)


class PanelOfLog(Panel):
    """The panel of a keeper's log: each time another one is chosen, it opens on that."""

    def __init__(self, chosen: ChosenLog) -> None:
        """Open on the log that is chosen now."""
        self.chosen = chosen
        super().__init__(TITLE, *_of(chosen.log), LogForecastChart(), describe, answer)
        chosen.follow(self._on_log)

    def _on_log(self) -> None:
        self.open_with(*_of(self.chosen.log))


def panel_of(chosen: ChosenLog) -> PanelOfLog:
    """Return the panel that follows the file chosen in the page."""
    return PanelOfLog(chosen)


def _of(own: OwnLog) -> tuple[dict[str, Control], Callable[..., Outlook | None]]:
    """Return the controls and the computation of a keeper's log; none where nothing is to draw."""
    if own.log is None or not own.can_be_drawn:
        return {}, _nothing
    return _over(own.log, own.tank)


def _over(
    log: KeepersLog, tank: OwnTank
) -> tuple[dict[str, Control], Callable[..., Outlook | None]]:
    """Return the controls of a log, which end at its last day, and what they work out."""
    readings = log.until(parameter("log_days_used").high)
    ends = min(_days(readings)), max(_days(readings))
    controls: dict[str, Control] = {
        "days_used": Slider("Use readings up to day", "log_days_used", 1.0, ends[1], ends),
        "nitrate": Tick("Use the nitrate readings", start=True),
    }
    return controls, partial(compute, readings, tank)


def _nothing() -> None:
    """Work out nothing: there is no reading yet that could be used."""


def _days(log: KeepersLog) -> list[float]:
    """Return the days with a reading of nitrogen."""
    return [reading.day for reading in log.readings if reading.what in NITROGEN]
