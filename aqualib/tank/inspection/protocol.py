"""Ten minutes with kitchen tools: what to do, what to write down, and what it tells."""

from __future__ import annotations

import csv
from functools import lru_cache
from typing import NamedTuple

from aqualib.files import data_file
from aqualib.tables import as_html, as_text


class Step(NamedTuple):
    """One step of the inspection."""

    minutes: float
    tool: str
    do: str
    write_down: str
    tells: str
    caution: str


class Protocol(tuple[Step, ...]):
    """The steps in their order; a notebook shows them as a table."""

    headings = ("minutes", "tool", "mind first", "do", "write down", "it tells")

    @property
    def minutes(self) -> float:
        """How long all of it takes."""
        return sum(step.minutes for step in self)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What may go wrong, step by step."""
        return tuple(step.caution for step in self if step.caution)

    def _cells(self) -> list[list[str]]:
        return [[f"{s.minutes:g}", s.tool, s.caution, s.do, s.write_down, s.tells] for s in self]

    def __repr__(self) -> str:
        return as_text(self.headings, self._cells())

    def _repr_html_(self) -> str:
        return as_html(f"{self.minutes:g} minutes with kitchen tools", self.headings, self._cells())


@lru_cache(maxsize=1)
def inspection_protocol() -> Protocol:
    """Return the steps of the inspection; all of it is common practice, no source."""
    with data_file("inspection.csv").open(encoding="utf-8", newline="") as file:
        return Protocol(
            Step(float(row["minutes"]), *(row[name] for name in Step._fields[1:]))
            for row in csv.DictReader(file)
        )
