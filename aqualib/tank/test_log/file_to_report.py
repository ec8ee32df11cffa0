"""A keeper's own log, from the file to the report: everything that can go wrong said in words."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from aqualib.files import data_file
from aqualib.tank.maturation.scenario import LONGEST
from aqualib.tank.test_log.cells import NITROGEN
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.in_words import Report, no_day_report, report
from aqualib.tank.test_log.keepers_tank import OwnTank, own_tank
from aqualib.tank.test_log.last_readings import tonight
from aqualib.tank.test_log.log import KeepersLog
from aqualib.tank.test_log.no_day import NoDay
from aqualib.tank.test_log.reader import Basis, Start, read_test_log
from aqualib.validity import ValidityError

NO_FILE = "No file named yet: this is the invented log."
START_OF_EXAMPLE = "2026-03-02"


@dataclass(frozen=True, eq=False)
class OwnLog:
    """A log and what it says, or why it cannot be read. Shown as text, it is the whole report."""

    tank: OwnTank
    log: KeepersLog | None = None
    report: Report | None = None
    trouble: str = ""
    """Why the file was not read, or nothing could be made of it."""
    invented: bool = False
    """True if no file was named."""

    def __str__(self) -> str:
        head = [NO_FILE] if self.invented else []
        asked = [f"Please say: {question}" for question in self.log.questions] if self.log else []
        body = [str(self.tank), *self.report.sentences] if self.report else []
        read = [] if self.log is None or self.invented else self.log.told
        trouble = [self.trouble] if self.trouble else []
        return "\n".join([*head, *asked, *trouble, *body, *read])

    __repr__ = __str__

    @property
    def can_be_drawn(self) -> bool:
        """True if there are readings that the panel can show."""
        return self.report is not None and self.log is not None and self.log.last_day <= LONGEST


def example_log() -> KeepersLog:
    """Return the invented readings that come with the lessons."""
    return read_test_log(data_file("example_test_log.csv"), start=START_OF_EXAMPLE)


def own_log(
    file: str | Path | IO[Any] | None = None,
    tank: OwnTank | None = None,
    basis: Basis = "",
    start: Start = None,
    dates: str = "",
) -> OwnLog:
    """Return what a keeper's file says, tonight first. Without a file it is the invented log.

    What the file leaves open is asked, with the argument that answers it: `basis`, `start` and
    `dates` are those of `read_test_log`.
    """
    own = own_tank() if tank is None else tank
    try:
        log = example_log() if file is None else read_test_log(file, basis, start, dates)
    except (ValidityError, FileNotFoundError) as problem:
        return OwnLog(own, trouble=f"Not read: {problem}")
    if not any(reading.what in NITROGEN for reading in log.readings):
        trouble = "No reading of ammonia, nitrite or nitrate can be used yet."
        return OwnLog(own, log, trouble=trouble)
    return OwnLog(own, log, report_of(log, own), invented=file is None)


def report_of(log: KeepersLog, tank: OwnTank) -> Report:
    """Return the report of a log with at least one reading of nitrogen."""
    if log.last_day > LONGEST:
        why = f"The log is longer than the {LONGEST} days that are played through."
        measure = "Tonight's tests; for a new start name its day, such as start=date(2026, 3, 25)."
        return no_day_report(tonight(log, tank.scenario), NoDay(why, measure))
    return report(fit_log(log, tank.long_enough_for(log)))
