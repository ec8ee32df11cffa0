"""What others measured, beside what we compute: how often does the band hold the measured value?

A row that chose a number of ours is no test of it: it is shown apart and not counted. Our band is
that of many runs, over the ranges of our numbers and over whatever the source does not tell
(`asked` says what was drawn). `python tests/benchmarks/scoreboard.py --write` computes it anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import isinf

from aqualib.files import data_file, rows_of
from aqualib.sources import cite
from aqualib.tables import IN_SIGHT, as_html, as_text
from aqualib.units import label, number
from aqualib.validity import OneOf, ValidityError

FILE = "measured_elsewhere.csv"
COLUMNS = (
    "id", "room", "what", "low", "high", "unit", "source", "locator", "asked", "chose", "left_out",
    "ours_low", "ours_middle", "ours_high",
)  # fmt: skip
HALF = 0.5


@dataclass(frozen=True, slots=True)
class Measured:
    """One measured value or range, and the band that we compute for it."""

    id: str
    room: str
    """Of the package, such as "tank.maturation"."""
    what: str
    low: float
    high: float
    """The same as `low` where one value is printed."""
    unit: str
    source: str
    locator: str
    asked: str
    """What was put in, and what was drawn because the source does not tell."""
    chose: str
    """The number of ours that this measurement chose; "" if none: only then it is a test."""
    left_out: str
    """Why it cannot be computed; "" if it can."""
    ours_low: float
    ours_middle: float
    ours_high: float

    @property
    def counts(self) -> bool:
        """True for a test: computed, and no number of ours was chosen by it."""
        return not self.chose and not self.left_out

    @property
    def inside(self) -> bool:
        """True if a single value lies in our band, or at least half of the narrower range does."""
        shared = min(self.high, self.ours_high) - max(self.low, self.ours_low)
        narrower = min(self.high - self.low, self.ours_high - self.ours_low)
        return shared >= HALF * narrower

    @property
    def verdict(self) -> str:
        """In or out, or why it does not count."""
        if self.left_out:
            return self.left_out
        found = "in" if self.inside else "out"
        return f"{found}; chose {self.chose}: no test" if self.chose else found


@lru_cache(maxsize=1)
def all_measured() -> tuple[Measured, ...]:
    """Return every row of `data/measured_elsewhere.csv`."""
    return tuple(_read(row) for row in rows_of(data_file(FILE), COLUMNS))


class Scoreboard:
    """Measured values beside our bands; shows itself as a table, with the score of the tests."""

    HEADINGS = ("what was measured", "measured", "ours: 5, 50, 95 %", "verdict", "source")

    def __init__(self, rows: tuple[Measured, ...]) -> None:
        self.rows = rows

    @property
    def tests(self) -> tuple[Measured, ...]:
        """The rows that count."""
        return tuple(row for row in self.rows if row.counts)

    @property
    def score(self) -> str:
        """How many of the tests lie inside, in words."""
        inside = sum(row.inside for row in self.tests)
        return f"{inside} of {len(self.tests)} measured values that chose no number lie inside"

    def cells(self) -> list[tuple[str, ...]]:
        """Return the table's rows as text: tests first, then what chose a number."""
        return [
            (
                row.what,
                f"{_ends(row.low, row.high)} {label(row.unit)}".strip(),
                "" if row.left_out else _words(row.ours_low, row.ours_middle, row.ours_high),
                row.verdict,
                cite(row.source, row.locator),
            )
            for row in sorted(self.rows, key=lambda row: (bool(row.left_out), bool(row.chose)))
        ]

    def __repr__(self) -> str:
        return f"{as_text(self.HEADINGS, self.cells())}\n{self.score}"

    def _repr_html_(self) -> str:
        return as_html(self.score, self.HEADINGS, self.cells(), IN_SIGHT)


def scoreboard(*rooms: str) -> Scoreboard:
    """Return the measured values of these rooms, or of all, beside our bands."""
    known = tuple(sorted({row.room for row in all_measured()}))
    for room in rooms:
        if room not in known:
            raise ValidityError("rooms", repr(room), OneOf(known).text, "", "has no measured value")
    return Scoreboard(tuple(row for row in all_measured() if not rooms or row.room in rooms))


def _words(*values: float) -> str:
    """Return numbers in words; a day that no run reaches is "never"."""
    return ", ".join("never" if isinf(value) else number(value) for value in values)


def _ends(low: float, high: float) -> str:
    return number(low) if low == high else f"{number(low)} to {number(high)}"


def _read(row: dict[str, str]) -> Measured:
    numbers = ("low", "high", "ours_low", "ours_middle", "ours_high")
    values = {name: float(row[name] or "nan") for name in numbers}
    return Measured(**{**row, **values})  # type: ignore[arg-type]
