"""What a test log says of the days to come: bands, the day it is safe, or why no day is named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from aqualib.draws import HIGH, LOW, MIDDLE, Band, of_the_next
from aqualib.tank.maturation import Scenario
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.tank.test_log.model import Followed
from aqualib.tank.test_log.no_day import NoDay
from aqualib.validity import ValidityError


@dataclass(frozen=True, eq=False)
class LogForecast:
    """What a test log says of the filter. Bands are mg/L as nitrogen at `time` (days)."""

    log: KeepersLog
    scenario: Scenario
    """As told, with the temperature and the pH of the log if it holds them."""
    time: Any
    ammonia: Band
    nitrite: Band
    nitrate: Band
    ready_days: Any
    """One number a draw; infinite if it does not get ready within the scenario."""
    days_of_model: Any
    """The same, if the tank were the model: without the doubt of it."""
    no_day: NoDay | None
    """Why no day may be named, whatever the draws say."""
    never_because: str
    """What most often holds up the draws that do not get ready, "" if all do."""
    factors: dict[str, Band]
    """What was fitted: 5, 50 and 95 per cent, in the unit of the row."""
    best: Followed
    """What the best fit comes to."""
    draws: Any
    """Ammonia, nitrite and nitrate of each draw at `time`."""
    nitrogen_told: Any
    """Ammonia, nitrite and nitrate together, mg/L, if the load were as told; as `best`."""
    readings: tuple[Reading, ...]
    """Those that were used."""
    slips: tuple[Reading, ...]
    """Those that were not, since nothing in the tank could have made them."""
    residuals: Any
    """Of each reading used, in standard deviations of a test."""
    misfit: float
    """Spread of the readings against that of a test: near 1 is as it should be."""
    widened: bool
    """True if the band was made wider because the readings scatter so much."""

    @property
    def ready(self) -> Band:
        """The day by which the tank is safe for good in 5, 50 and 95 per cent of what fits.

        Refused where no day may be named.
        """
        return Band(*(self.day_by(share) for share in (LOW, MIDDLE, HIGH)))

    def day_by(self, certainty: float) -> float:
        """Return the day by which the tank is safe with this chance (0 to 1); may be infinite."""
        self._must_have_a_day()
        return of_the_next(self.ready_days, certainty)

    def chance_by(self, day: float) -> float:
        """Return the chance (0 to 1) that the tank is safe for good by a day."""
        self._must_have_a_day()
        return float(np.mean(self.ready_days <= day))

    def _must_have_a_day(self) -> None:
        if self.no_day:
            valid = self.no_day.measure.rstrip(".")
            why = f"names no day. {self.no_day.why.rstrip('.')}"
            raise ValidityError("log", self.log.name, valid, "", why)
