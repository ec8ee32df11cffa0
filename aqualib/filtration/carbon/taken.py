"""Activated carbon: what fresh carbon takes out of a tank's water, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from aqualib.files import data_file, rows_of
from aqualib.sources import cite
from aqualib.validity import ValidityError

COLUMNS = ("what", "how_well", "sources", "from_memory")
MEMORY = "from memory"
BETWEEN = "; "
"""Stands between two keys of a row, and between two origins in words."""


@dataclass(frozen=True, slots=True)
class Taken:
    """How well fresh carbon takes something out of water, and who says so."""

    what: str
    how_well: str
    sources: tuple[str, ...]
    from_memory: bool

    @property
    def origin(self) -> str:
        """Where it comes from, in words."""
        memory = [MEMORY] if self.from_memory else []
        return BETWEEN.join([*(cite(key) for key in self.sources), *memory])


@lru_cache(maxsize=1)
def what_carbon_takes() -> tuple[Taken, ...]:
    """Return what fresh carbon takes out of a tank's water, from well to not at all."""
    return tuple(_read(row) for row in rows_of(data_file("carbon_takes.csv"), COLUMNS))


def _read(row: dict[str, str]) -> Taken:
    sources = tuple(key for key in row["sources"].split(BETWEEN) if key)
    if row["from_memory"] not in {"yes", "no"} or not (sources or row["from_memory"] == "yes"):
        place = f"data/carbon_takes.csv, {row['what']}"
        valid = "a key, or yes under from_memory"
        raise ValidityError(place, repr(row["sources"])[:60], valid, "", "says not who says so")
    return Taken(row["what"], row["how_well"], sources, row["from_memory"] == "yes")
