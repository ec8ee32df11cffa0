"""Which test would narrow the band most, as the draws tell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.forecast import LogForecast
from aqualib.tank.test_log.model import scaled

AHEAD = (1.0, 2.0, 4.0, 7.0)
"""Days from the last reading at which a test is tried out."""
WORTH_IT = 0.2
"""Share of the variance of the day; a test that takes away less is not named."""


class NextTest(NamedTuple):
    """A test, the day for it, and the share of the variance of the ready day it takes away."""

    what: str
    day: float
    share: float


def next_test(forecast: LogForecast) -> NextTest | None:
    """Return the test that would narrow the band most; None if none would by much."""
    best = max(_tests(forecast), key=lambda test: test.share, default=None)
    return best if best and best.share >= WORTH_IT else None


def _tests(forecast: LogForecast) -> Iterator[NextTest]:
    """Try tests of one matter each on days ahead, as if read with their usual error.

    By how much they narrow the day is told by the straight line through the draws.
    """
    end = float(forecast.scenario.in_days.days)
    ready = np.minimum(forecast.days_of_model, end)
    if np.ptp(ready) < 1.0:
        return
    for ahead in AHEAD:
        day = forecast.log.last_day + ahead
        if day > end:
            return
        at = int(np.searchsorted(forecast.time, day))
        for row, what in enumerate(NITROGEN):
            seen = scaled(np.maximum(forecast.draws[:, row, at], 0.0), row)
            signal = float(np.var(seen))
            if signal > 0.0:
                alike = float(np.corrcoef(seen, ready)[0, 1]) ** 2
                yield NextTest(what, day, alike * signal / (signal + 1.0))
