"""What the readings of a filter say in plain words: what is late, what does not add up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.maturation.verdict import reason
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.fit import LogForecast
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import near_zero
from aqualib.units import ZERO_CELSIUS, number
from aqualib.validity import ValidityError, quoted
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import NITRATE_PER_NITROGEN

GROUPS = {
    "ammonia_oxidiser_growth": "ammonia oxidisers",
    "nitrite_oxidiser_growth": "nitrite oxidisers",
}
SURE = 2.0
"""Standard deviations from which a difference is called one."""
STRANGE = 3.5
"""Standard deviations from which a single reading is named."""
SLOW = 0.8
"""Of the usual growth: below it, even at the upper end of the band, a group is called slow."""
FALL_OF_PH = 0.5
FIRST, LAST = 0.95, 0.05
BASIS_SLIP = 0.3
"""How near 1 the nitrogen balance must come with another basis for a mix-up to be named."""


def diagnose(forecast: LogForecast) -> tuple[str, ...]:
    """Return what the log says, the most pressing first. No sentence replaces a test."""
    valid = "a forecast, such as fit_log(...) returns"
    if not isinstance(forecast, LogForecast):
        raise ValidityError("forecast", quoted(forecast), valid, "", "is no forecast")
    parts = (_danger, _state, _late, _slow, _balance, _strange, _scatter, _conditions)
    return tuple(sentence for part in parts for sentence in part(forecast))


def _danger(forecast: LogForecast) -> Iterator[str]:
    given = forecast.scenario.in_days
    kelvin = given.temperature + ZERO_CELSIUS
    limits = total_ammonia_limits.bare(given.ph, kelvin, given.salinity, given.ph_scale)
    bounds = {"ammonia": 1000.0 * float(limits.chronic), "nitrite": safe_nitrite(given.salinity).m}
    acute = 1000.0 * float(limits.acute)
    for what, bound in bounds.items():
        last = _last(forecast.log, what)
        if last is None or last.sign == "<":
            continue
        shown = f"{number(last.value, 2)} mg/L as N on day {last.day:g}"
        if what == "ammonia" and last.value > acute:
            yield (
                f"The last ammonia reading, {shown}, is above the short-term limit of "
                f"{number(acute, 2)}: are animals in it? Then change water now."
            )
        elif last.value > bound:
            yield (
                f"The last {what} reading, {shown}, is above the level called safe, "
                f"{number(bound, 2)}."
            )


def _state(forecast: LogForecast) -> Iterator[str]:
    today = forecast.log.last_day
    chance = forecast.chance_by(today)
    low, middle, high = forecast.ready
    if chance >= FIRST and any(_danger(forecast)):
        yield "The fit calls the filter ready, the last reading does not: believe the reading."
        return
    if chance >= FIRST:
        yield (
            "By the readings the filter already carries the planned load. Test before and after "
            "you add animals, a few at a time."
        )
        return
    if chance <= LAST:
        yield f"On day {today:g} the filter does not carry the planned load yet."
    else:
        yield f"On day {today:g} the filter may carry the planned load: {chance:.0%} of what fits."
    end = forecast.scenario.in_days.days
    if not np.isfinite(middle):
        yield f"More likely than not it does not get there by day {end:g}; see what holds it up."
    elif np.isfinite(high):
        yield (
            f"Safe for good most likely on day {middle:.0f}; 90 % of what fits lies between day "
            f"{low:.0f} and day {high:.0f}."
        )
    else:
        yield (
            f"Safe for good most likely on day {middle:.0f}, hardly before day {low:.0f}; in "
            f"{1.0 - forecast.chance_by(end):.0%} of what fits not by day {end:g}."
        )


def _late(forecast: LogForecast) -> Iterator[str]:
    if forecast.chance_by(forecast.log.last_day) >= FIRST:
        return
    course = forecast.best
    index = int(np.searchsorted(course.time, forecast.log.last_day + 1e-9, side="right")) - 1
    why = reason(course, forecast.safety, max(index, 0))
    if why:
        yield f"What holds it up by the best fit: {why}."


def _slow(forecast: LogForecast) -> Iterator[str]:
    slow = []
    for name, group in GROUPS.items():
        if forecast.factors[name].high < SLOW * parameter(name).value:
            slow.append(group)
    if slow:
        yield (
            f"The {' and '.join(slow)} grow slower than usual at this temperature: look at "
            "oxygen, alkalinity, pH, and what was put into the water."
        )


def _balance(forecast: LogForecast) -> Iterator[str]:
    found = nitrogen_balance(forecast)
    if found is None:
        return
    ratio, error = found
    row = parameter("load_guess")
    if ratio - SURE * error > row.high:
        words = f"Nitrogen rose {number(ratio, 2)} times as fast as the feed can explain. "
        if _adds_up(forecast, 1.0 / NITRATE_PER_NITROGEN):
            words += "Is nitrate written as ion where the heading says as N? "
        yield words + "Or food that was not counted, something dead, or a test that reads high."
    elif ratio + SURE * error < row.low:
        words = f"Only {number(100.0 * max(ratio, 0.0), 2)} % of the feed's nitrogen turns up. "
        if _adds_up(forecast, NITRATE_PER_NITROGEN):
            words += "Is nitrate written as N where the heading says as ion? "
        yield words + (
            "Or plants and algae take it up, water was changed and not written down, or less food "
            "was given."
        )


def _adds_up(forecast: LogForecast, factor: float) -> bool:
    """Return whether nitrogen would balance if each nitrate reading were `factor` of it."""
    changed = tuple(
        replace(reading, value=reading.value * factor) if reading.what == "nitrate" else reading
        for reading in forecast.log.readings
    )
    found = nitrogen_balance(replace(forecast, log=replace(forecast.log, readings=changed)))
    return found is not None and abs(found[0] - 1.0) < BASIS_SLIP


def nitrogen_balance(forecast: LogForecast) -> tuple[float, float] | None:
    """Return measured over expected rise of all nitrogen, and its standard error; None if few.

    Counted are days with readings of ammonia, nitrite and nitrate that are numbers, or "<" for
    the first two (taken as half the limit). The nitrogen at the start is left free.
    """
    sums = _sums(forecast.log)
    if len(sums) < 4:
        return None
    day, measured, error = np.array(sums).T
    expected = np.interp(day, forecast.best.time, forecast.nitrogen_told)
    weight = 1.0 / error**2
    centre = (weight * expected).sum() / weight.sum()
    lever = weight @ (expected - centre) ** 2
    if lever <= 1.0:
        return None
    ratio = float((weight * (expected - centre)) @ measured / lever)
    return ratio, float(1.0 / np.sqrt(lever))


def _sums(log: KeepersLog) -> list[tuple[float, float, float]]:
    relative = parameter("test_relative_error").value
    lines: dict[tuple[int, float], dict[str, Reading]] = {}
    for reading in log.readings:
        if reading.what in NITROGEN:
            lines.setdefault((reading.line, reading.day), {})[reading.what] = reading
    sums = []
    for (_, day), found in lines.items():
        signs = [found[what].sign for what in NITROGEN if what in found]
        if len(signs) < 3 or ">" in signs or found["nitrate"].sign == "<":
            continue
        values = np.array([found[w].value * (0.5 if found[w].sign == "<" else 1) for w in NITROGEN])
        variance = (near_zero() ** 2 + (relative * values) ** 2).sum()
        sums.append((day, float(values.sum()), float(np.sqrt(variance))))
    return sums


def _strange(forecast: LogForecast) -> Iterator[str]:
    worst = int(np.argmax(np.abs(forecast.residuals)))
    off = float(forecast.residuals[worst])
    if abs(off) > STRANGE:
        odd = forecast.readings[worst]
        sign = "" if odd.sign == "=" else odd.sign
        yield (
            f"Line {odd.line}: {odd.what} {sign}{number(odd.value, 2)} mg/L as N on day "
            f"{odd.day:g} fits the others badly ({abs(off):.0f} times the error of a test). "
            "Test again, or look for a slip of the pen."
        )


def _scatter(forecast: LogForecast) -> Iterator[str]:
    if forecast.widened:
        yield (
            f"The readings lie {number(forecast.misfit, 2)} times as far from the model as tests "
            "should: something happened that is not in the plan. The band is widened for it."
        )


def _conditions(forecast: LogForecast) -> Iterator[str]:
    given = forecast.scenario.in_days
    readings = forecast.log.of("ph")
    if len(readings) > 1:
        fall = float(np.mean([r.value for r in readings[:2]])) - readings[-1].value
        if fall >= FALL_OF_PH:
            yield f"The pH fell by {number(fall, 2)}: measure alkalinity; nitrifiers use it up."
    if given.temperature < 20.0:
        yield f"At {number(given.temperature)} °C nitrifiers are slow."


def _last(log: KeepersLog, what: str) -> Any:
    found = log.of(what)
    return found[-1] if found else None
