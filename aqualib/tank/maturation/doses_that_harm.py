"""What not to dose while a filter ripens: what was found of each, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from aqualib.files import data_file, rows_of
from aqualib.sources import Said, said_by
from aqualib.tables import as_html, as_text

FILE = "not_to_dose.csv"
COLUMNS = ("what", "found", "sources", "from_memory")


@dataclass(frozen=True, slots=True)
class Harm:
    """What was found of one substance, and who says so."""

    what: str
    found: str
    said: Said


class Harms:
    """What not to dose; shows itself as a table, with how much of it was read."""

    HEADINGS = ("what", "what was found", "who says so")

    def __init__(self, rows: tuple[Harm, ...]) -> None:
        self.rows = rows

    @property
    def caption(self) -> str:
        """How many of the rows rest on something that was read, in words."""
        read = sum(not row.said.from_memory for row in self.rows)
        return f"{len(self.rows)} kinds: {read} read, {len(self.rows) - read} in part from memory"

    @property
    def keys(self) -> list[str]:
        """The sources of all rows."""
        return sorted({key for row in self.rows for key in row.said.sources})

    def cells(self) -> list[tuple[str, ...]]:
        """Return the table's rows as text."""
        return [(row.what, row.found, row.said.origin) for row in self.rows]

    def __repr__(self) -> str:
        return f"{as_text(self.HEADINGS, self.cells())}\n{self.caption}"

    def _repr_html_(self) -> str:
        return as_html(self.caption, self.HEADINGS, self.cells())


@lru_cache(maxsize=1)
def what_not_to_dose() -> Harms:
    """Return what may harm a filter or its animals, each with what was found of it."""
    rows = rows_of(data_file(FILE), COLUMNS)
    return Harms(tuple(Harm(row["what"], row["found"], said_by(row, FILE)) for row in rows))
