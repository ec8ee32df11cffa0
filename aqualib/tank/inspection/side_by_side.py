"""One filter as bought beside others: one table of what each comes to."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from aqualib.filtration.capture.pads import GRADES
from aqualib.tables import as_html, as_text
from aqualib.tank.inspection.keep_or_not import days, in_kg_and_lb
from aqualib.tank.inspection.stacking import remembered_outcome
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.what_it_does import Outcome
from aqualib.tank.sizing import LIMITS
from aqualib.units import from_si, shown


class Line(NamedTuple):
    """One line of the table: what it is, and what it is in each filter."""

    what: str
    each: tuple[str, ...]


class SideBySide:
    """Several fillings of one filter, in one table."""

    def __init__(self, filters: Mapping[str, Filled]) -> None:
        """Run each of the filters, which come under the names of their columns."""
        self.headings = ("", *filters)
        self.lines = tuple(lines_of(list(filters.values())))

    def _cells(self) -> list[list[str]]:
        return [[line.what, *line.each] for line in self.lines]

    def __repr__(self) -> str:
        return as_text(self.headings, self._cells())

    def _repr_html_(self) -> str:
        return as_html("The same filter, stacked otherwise", self.headings, self._cells())


def lines_of(filters: list[Filled]) -> list[Line]:
    """Return the lines of the table, in the units in force; media in kg and in lb."""
    pairs = [(whole, remembered_outcome(whole)) for whole in filters]
    told = [[text for _, text in column_of(whole, does)] for whole, does in pairs]
    names = [what for what, _ in column_of(*pairs[0])]
    return [Line(what, tuple(each)) for what, *each in zip(names, *told, strict=True)]


def column_of(whole: Filled, does: Outcome) -> list[tuple[str, str]]:
    """Return what one filter comes to: each thing, and its number in words."""
    food = does.carried.feed
    low, best, high = (from_si(float(end), "g/day") for end in food)
    return [
        ("food you give", shown(from_si(whole.feed, "g/day"), "g/day", 2)),
        ("food it carries", shown(best, "g/day", 2)),
        ("from, to", f"{shown(low, 'g/day', 2)}, {shown(high, 'g/day', 2)}"),
        ("what limits", LIMITS[does.carried.limiting]),
        ("first cleaning", days(does.due)),
        ("due first", due_first(does)),
        ("flow when due", shown(from_si(does.flow_due, "L/h"), "L/h", 2)),
        ("dirt afloat then", _afloat(does)),
        ("media", in_kg_and_lb(does.media_mass)),
        ("nitrate before a change", shown(from_si(does.nitrate_peak, "mg/L"), "mg/L", 2)),
    ]


def trays_of(whole: Filled) -> list[str]:
    """Return what stands in each tray, in the order of the water, with its height and its media."""
    found = []
    for at, place in enumerate(whole.places, start=1):
        high = shown(from_si(place.height, "cm"), "cm", 2)
        media = f", {in_kg_and_lb(place.media)}" if place.media else ""
        found.append(f"tray {at}, {high} high: {place.holds}{media}")
    return found


def due_first(does: Outcome) -> str:
    """Return what is due first, in words."""
    name = does.first_due
    if name.partition(" ")[0] in GRADES:
        return f"{name} pad"
    return name or "nothing"


def _afloat(does: Outcome) -> str:
    if math.isnan(does.suspended):
        return "all of it"
    return shown(from_si(does.suspended, "mg/L"), "mg/L", 2)
