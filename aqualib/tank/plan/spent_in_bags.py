"""Chemical media in a bag: what each takes, how one sees that it is spent, and what to mind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from aqualib.files import data_file, rows_of
from aqualib.sources import Said, said_by
from aqualib.tables import as_html, as_text
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.other_trays import gives_back
from aqualib.tank.plan.readings import Alarm

FILE = "chemical_media.csv"
COLUMNS = ("holds", "takes", "spent", "in_the_sea", "mind", "sources", "from_memory")


@dataclass(frozen=True, slots=True)
class Bag:
    """One kind of chemical media in words, and who says so."""

    holds: str
    takes: str
    spent: str
    in_the_sea: str
    mind: str
    said: Said


class Bags:
    """All kinds of chemical media; shows itself as a table."""

    HEADINGS = ("what", "it takes", "spent when", "in the sea", "mind", "who says so")
    CAPTION = "Chemical media: each works until it is full"

    def __init__(self, rows: tuple[Bag, ...]) -> None:
        self.rows = rows

    @property
    def keys(self) -> list[str]:
        """The sources of all rows."""
        return sorted({key for row in self.rows for key in row.said.sources})

    def cells(self) -> list[tuple[str, ...]]:
        """Return the table's rows as text."""
        return [
            (row.holds, row.takes, row.spent, row.in_the_sea, row.mind, row.said.origin)
            for row in self.rows
        ]

    def __repr__(self) -> str:
        return as_text(self.HEADINGS, self.cells())

    def _repr_html_(self) -> str:
        return as_html(self.CAPTION, self.HEADINGS, self.cells())


@lru_cache(maxsize=1)
def chemical_bags() -> Bags:
    """Return what each kind of chemical media takes, and what to mind."""
    rows = rows_of(data_file(FILE), COLUMNS)
    return Bags(tuple(_bag(row) for row in rows))


def _bag(row: dict[str, str]) -> Bag:
    return Bag(
        holds=row["holds"],
        takes=row["takes"],
        spent=row["spent"],
        in_the_sea=row["in_the_sea"],
        mind=row["mind"],
        said=said_by(row, FILE),
    )


def bag_alarms(whole: Filled) -> Iterator[Alarm]:
    """Give what goes before any plan: zeolite in salt water."""
    if gives_back(whole):
        yield Alarm(
            "Zeolite lies in salt water: it takes little there, and gives ammonia back where it "
            "is loaded.",
            "Test ammonia now, then take the zeolite out and test daily for a week.",
        )


OUT_FIRST = (
    "Take the zeolite out before you seed and dose: it takes the food of new bacteria and hides "
    "ammonia from your tests. Do animals in fresh water live on it already? Then a part a week, "
    "and test ammonia daily."
)
