"""Activated carbon: what fresh carbon takes out of a tank's water, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from aqualib.files import data_file, rows_of
from aqualib.sources import Said, said_by

FILE = "carbon_takes.csv"
COLUMNS = ("what", "how_well", "sources", "from_memory")


@dataclass(frozen=True, slots=True)
class Taken:
    """How well fresh carbon takes something out of water, and who says so."""

    what: str
    how_well: str
    said: Said

    @property
    def origin(self) -> str:
        """Where it comes from, in words."""
        return self.said.origin


@lru_cache(maxsize=1)
def what_carbon_takes() -> tuple[Taken, ...]:
    """Return what fresh carbon takes out of a tank's water, from well to not at all."""
    rows = rows_of(data_file(FILE), COLUMNS)
    return tuple(Taken(row["what"], row["how_well"], said_by(row, FILE)) for row in rows)
