"""What was left open: taken from a row or from the rest, and remembered in words."""

from __future__ import annotations

from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.plan.system import System, rows_of_part
from aqualib.units import from_si, label, number


class Assumption(NamedTuple):
    """A number that nobody gave: which, what was taken for it, and on what ground."""

    place: str
    """Part and field, as the file of a system names them."""
    value: str
    ground: str


class Filling:
    """Fills what was left open, and remembers what was taken for it."""

    def __init__(self, system: System) -> None:
        self.system = system
        self.assumed: list[Assumption] = []

    def of(self, part: str, field: str) -> float:
        """Return a field in SI; left open, it is that of its row, which is remembered."""
        found = getattr(self.system, part)
        value = float(getattr(found.bare, field))
        if not found.gives(field):
            row = parameter(rows_of_part(type(found))[field])
            self.take(f"{part}.{field}", value, row.unit, "as in the lessons' tank")
        return value

    def take(self, place: str, value: float, unit: str, ground: str) -> float:
        """Remember what was taken for a field, and return it."""
        beside = label(unit).replace("1/", "per ", 1) if unit.startswith("1/") else label(unit)
        shown = f"{number(from_si(value, unit) if unit else value)} {beside}".strip()
        self.say(place, shown, ground)
        return value

    def say(self, place: str, words: str, ground: str) -> None:
        """Remember what was taken for a field that is no number."""
        self.assumed.append(Assumption(place, words, ground))
