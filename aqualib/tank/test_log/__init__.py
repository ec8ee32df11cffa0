"""The test log: what do a keeper's own readings say, and what happens next?"""

from __future__ import annotations

from aqualib.tank.test_log.file_to_report import OwnLog, example_log, own_log
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.forecast import LogForecast
from aqualib.tank.test_log.in_words import Report, report
from aqualib.tank.test_log.keepers_tank import OwnTank, own_tank
from aqualib.tank.test_log.least_squares import saturation_constants
from aqualib.tank.test_log.log import KeepersLog
from aqualib.tank.test_log.reader import read_test_log
