"""What a keeper's test log holds: readings, remarks on the rest, and what is left to ask."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from aqualib.arguments import one_number
from aqualib.tank.test_log.cells import NAMES, Column
from aqualib.validity import OneOf, Range, ValidityError, quoted

KINDS = tuple(what for what in NAMES if what != "date")
MOST_REMARKS = 1000
"""So many are kept; the rest are counted."""
MOST_SHOWN = 40
DAYS = Range(-1e6, 1e6)


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: mg/L as nitrogen, °C, pH, or mg/L as CaCO3; `sign` is "=", "<" or ">"."""

    line: int
    day: float
    what: str
    value: float
    sign: str = "="


@dataclass(frozen=True, slots=True)
class Remark:
    """Something the reader should know of a place in the file; says whether it was used."""

    line: int
    column: str
    words: str

    def __str__(self) -> str:
        place = f"line {self.line}" + (f", {self.column}" if self.column else "")
        return f"{place}: {self.words}"


class Remarks:
    """Remarks as they are found in a file; of very many the first are kept, the rest counted."""

    def __init__(self) -> None:
        self._kept: list[Remark] = []
        self._more = 0
        self._last = 0

    def add(self, line: int, column: str, words: str) -> None:
        """Take note of something."""
        if len(self._kept) < MOST_REMARKS:
            self._kept.append(Remark(line, column, words))
        else:
            self._more += 1
            self._last = max(self._last, line)

    def by_line(self) -> tuple[Remark, ...]:
        """Return what was found in the order of the lines, and last how much more there is."""
        found = sorted(self._kept, key=lambda remark: remark.line)
        if self._more:
            words = f"and {self._more} more up to here; mend those above, then read it again"
            found.append(Remark(max(self._last, found[-1].line), "", words))
        return tuple(found)


@dataclass(frozen=True, slots=True)
class KeepersLog:
    """What stands in a test log. `lines` is the whole file as it was, line by line.

    Only signs that would speak to a terminal are shown as "�" there.
    """

    name: str
    start: date
    readings: tuple[Reading, ...]
    remarks: tuple[Remark, ...]
    columns: tuple[Column, ...]
    lines: tuple[str, ...]
    questions: tuple[str, ...] = ()
    """What only the keeper knows; what hangs on the answers is not used until then."""

    def of(self, what: str) -> tuple[Reading, ...]:
        """Return the readings of one kind, such as "ammonia", "ph" or "alkalinity"."""
        if what not in KINDS:
            shown, valid = quoted(what), OneOf(KINDS).text
            raise ValidityError("what", shown, valid, "", "is not what a log holds")
        return tuple(reading for reading in self.readings if reading.what == what)

    def until(self, day: float) -> KeepersLog:
        """Return the log as it stood on a day."""
        last = one_number("day", day, DAYS)
        return replace(self, readings=tuple(r for r in self.readings if r.day <= last))

    @property
    def last_day(self) -> float:
        """The day of the last reading, counted from `start`."""
        return max((reading.day for reading in self.readings), default=0.0)

    def middle(self, what: str) -> float | None:
        """Return the median of the readings that are plain numbers; None if there are none."""
        values = [reading.value for reading in self.of(what) if reading.sign == "="]
        return float(np.median(values)) if values else None

    def __str__(self) -> str:
        head, *rest = self.told
        return "\n".join(
            [head, *(f"  Please say: {question}" for question in self.questions), *rest]
        )

    @property
    def told(self) -> list[str]:
        """What was read, in lines, and what was not; questions are left out."""
        kinds = Counter(reading.what for reading in self.readings)
        head = f"{self.name}: {len(self.readings)} readings in {self.last_day:g} days"
        basis = {column.what: column.basis for column in self.columns}
        lines = [head]
        for what, count in kinds.items():
            beyond = sum(reading.sign != "=" for reading in self.of(what))
            note = f", {beyond} of them beyond the reach of the test" if beyond else ""
            stated = f" (written as {basis[what]})" if basis.get(what) else ""
            lines.append(f"  {what}{stated}: {count}{note}")
        lines += [f"  {remark}" for remark in self.remarks[:MOST_SHOWN]]
        if len(self.remarks) > MOST_SHOWN:
            lines.append(f"  and {len(self.remarks) - MOST_SHOWN} more, see `remarks`")
        return lines

    __repr__ = __str__


def must_be_log(log: object) -> None:
    """Raise unless a log was given, and not the path of one."""
    if not isinstance(log, KeepersLog):
        shown = quoted(log) if isinstance(log, str) else f"a {type(log).__name__}"
        valid = "a log, such as read_test_log(...) returns"
        raise ValidityError("log", shown, valid, "", "is no log")
