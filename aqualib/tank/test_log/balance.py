"""Does the nitrogen of a test log add up? All of it came from the food."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import near_zero

SURE = 1.64
"""Standard deviations from which a difference is called one: by chance once in twenty times."""
FEWEST = 4
"""Days with all three tests."""

Tested = dict[str, Reading]
"""The readings of one line, by what was tested."""


class Total(NamedTuple):
    """All nitrogen in the water on a day, mg/L, and the standard error of its tests."""

    day: float
    value: float
    error: float


class Balance(NamedTuple):
    """Measured over expected rise of nitrogen, and the standard error of that."""

    ratio: float
    error: float

    @property
    def too_much(self) -> bool:
        """True if more turns up than a food that was counted wrong could explain."""
        return self.ratio - SURE * self.error > parameter("load_guess").high

    @property
    def too_little(self) -> bool:
        """True if less turns up than that."""
        return self.ratio + SURE * self.error < parameter("load_guess").low

    @property
    def fails(self) -> bool:
        """True if the food and the readings contradict each other."""
        return self.too_much or self.too_little


def totals(log: KeepersLog) -> list[Total]:
    """Return the days with readings of ammonia, nitrite and nitrate that can be added up.

    They are numbers, or "<" for the first two (taken as half the limit).
    """
    return [
        Total(day, *summed(found))
        for (day, _), found in complete_lines(log).items()
        if found["nitrate"].sign != "<"
    ]


def complete_lines(log: KeepersLog) -> dict[tuple[float, int], Tested]:
    """Return the lines, by day and number, with all three tests and none off the scale."""
    lines: dict[tuple[float, int], Tested] = {}
    for reading in log.readings:
        if reading.what in NITROGEN and reading.sign != ">":
            lines.setdefault((reading.day, reading.line), {})[reading.what] = reading
    return {key: found for key, found in lines.items() if len(found) == len(NITROGEN)}


def summed(found: Tested) -> tuple[float, float]:
    """Return all nitrogen of a line, mg/L, and the standard error of its tests."""
    values = np.array([within(found[what]) for what in NITROGEN])
    return float(values.sum()), float(np.linalg.norm(errors_of(values)))


def within(reading: Reading) -> float:
    """Return a reading as a number; half the limit for "<"."""
    return reading.value * (0.5 if reading.sign == "<" else 1.0)


def errors_of(values: Any) -> Any:
    """Return the standard errors of tests of ammonia, nitrite and nitrate, mg/L."""
    return np.hypot(near_zero(), parameter("test_relative_error").value * values)


def nitrogen_balance(log: KeepersLog, time: Any, told: Any) -> Balance | None:
    """Return how fast all nitrogen rises against what was told; None if too few days tell.

    `told` is the nitrogen in the water at `time` if the food were as told, mg/L. What was there
    at the start is left free.
    """
    return _balance(totals(log), time, told)


def late_balance(log: KeepersLog, time: Any, told: Any) -> Balance | None:
    """Return the balance of the later half of the log: where nitrogen came only at first."""
    found = totals(log)
    return _balance(found[len(found) // 2 :], time, told)


def _balance(found: Sequence[Total], time: Any, told: Any) -> Balance | None:
    if len(found) < FEWEST:
        return None
    day, measured, error = np.array(found).T
    expected = np.interp(day, time, told)
    weight = 1.0 / error**2
    centre = (weight * expected).sum() / weight.sum()
    lever = weight @ (expected - centre) ** 2
    if lever <= 1.0:
        return None
    ratio = float((weight * (expected - centre)) @ measured / lever)
    return Balance(ratio, float(1.0 / np.sqrt(lever)))


def with_nitrate_times(log: KeepersLog, factor: float) -> KeepersLog:
    """Return the log with each nitrate reading `factor` of what it is."""
    changed = tuple(
        replace(reading, value=reading.value * factor) if reading.what == "nitrate" else reading
        for reading in log.readings
    )
    return replace(log, readings=changed)
