"""What a keeper's test log holds: readings, and what was wrong with the rest."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from aqualib.tank.test_log.cells import Column


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: mg/L as nitrogen, °C or pH; `sign` is "=", "<" or ">"."""

    line: int
    day: float
    what: str
    value: float
    sign: str = "="


@dataclass(frozen=True, slots=True)
class Problem:
    """Something the reader should know of a place in the file; says whether it was used."""

    line: int
    column: str
    words: str

    def __str__(self) -> str:
        place = f"line {self.line}" + (f", {self.column}" if self.column else "")
        return f"{place}: {self.words}"


@dataclass(frozen=True, slots=True)
class KeepersLog:
    """What stands in a test log. `lines` is the whole file as it was, line by line."""

    name: str
    start: date
    readings: tuple[Reading, ...]
    problems: tuple[Problem, ...]
    columns: tuple[Column, ...]
    lines: tuple[str, ...]

    def of(self, what: str) -> tuple[Reading, ...]:
        """Return the readings of "ammonia", "nitrite", "nitrate", "ph" or "temperature"."""
        return tuple(reading for reading in self.readings if reading.what == what)

    def until(self, day: float) -> KeepersLog:
        """Return the log as it stood on a day."""
        return replace(self, readings=tuple(r for r in self.readings if r.day <= day))

    @property
    def last_day(self) -> float:
        """The day of the last reading, counted from `start`."""
        return max((reading.day for reading in self.readings), default=0.0)

    def middle(self, what: str) -> float | None:
        """Return the median of the readings that are plain numbers; None if there are none."""
        values = [reading.value for reading in self.of(what) if reading.sign == "="]
        return float(np.median(values)) if values else None

    def __str__(self) -> str:
        kinds = Counter(reading.what for reading in self.readings)
        head = f"{self.name}: {len(self.readings)} readings in {self.last_day:g} days"
        basis = {column.what: column.basis for column in self.columns}
        lines = [head]
        for what, count in kinds.items():
            beyond = sum(reading.sign != "=" for reading in self.of(what))
            note = f", {beyond} of them beyond the reach of the test" if beyond else ""
            stated = f" (written as {basis[what]})" if basis.get(what) else ""
            lines.append(f"  {what}{stated}: {count}{note}")
        lines += [f"  {problem}" for problem in self.problems]
        return "\n".join(lines)

    __repr__ = __str__
