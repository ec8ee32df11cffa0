"""The test log: what do a keeper's own readings say, and what happens next?"""

from __future__ import annotations

from aqualib.tank.test_log.diagnosis import diagnose
from aqualib.tank.test_log.fit import LogForecast, fit_log
from aqualib.tank.test_log.least_squares import saturation_constants
from aqualib.tank.test_log.log import KeepersLog
from aqualib.tank.test_log.reader import read_test_log
