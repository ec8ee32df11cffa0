"""The changes that would help, the best first: before → after, and "nothing gained" where true."""

from __future__ import annotations

import math
from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.plan import Change, FilterPlan, Outcome, gains
from aqualib.tank.plan.what_it_buys import SAME
from aqualib.units import display_unit, from_si, label, number

UNITS = {
    "Food carried": "g/day",
    "To cleaning": "day",
    "Flow when due": "L/h",
    "Nitrate": "mg/L",
}
"""What is told of a change before → after, and its metric unit."""
MOST_CHANGES = 6
NOTHING = "nothing gained"
DAYS = "more days between cleanings", "fewer days between cleanings"
PERCENT = 100.0


class Ranked(NamedTuple):
    """One change in words: what to do, what it comes to, its lesson, and four before → after."""

    words: str
    worth: str
    why: str
    lesson: str
    moves: tuple[str, ...]


def headings() -> tuple[str, ...]:
    """Return the headings of a table of changes, with units: the reader's, and the metric ones."""
    return ("Change", *(f"{name}, {_units(unit)}" for name, unit in UNITS.items()), "Comes to")


def _units(unit: str) -> str:
    own = display_unit(unit)
    return label(unit) if own == unit else f"{label(own)} ({label(unit)})"


def ranked(plan: FilterPlan, most: int = MOST_CHANGES) -> tuple[Ranked, ...]:
    """Return the changes of a plan in words, the one that buys most first."""
    return tuple(_in_words(plan.now, one) for one in plan.changes[:most])


def _in_words(now: Outcome, one: Change) -> Ranked:
    after = one.after
    ends = (
        (now.carried.feed.best, after.carried.feed.best),
        (now.due, after.due),
        (now.flow_due, after.flow_due),
        (now.nitrate_peak, after.nitrate_peak),
    )
    moves = tuple(_move(*pair, unit) for pair, unit in zip(ends, UNITS.values(), strict=True))
    return Ranked(one.words, worth(now, after), one.why, one.lesson, moves)


def worth(now: Outcome, after: Outcome) -> str:
    """Return what a change comes to, in a few words: each gain and each loss, or nothing."""
    found = gains(now, after)
    carried = now.carried.feed.best, after.carried.feed.best
    spoken = [
        _share(found.food, *carried, ("more food", "less food")),
        _share(found.days, now.due, after.due, DAYS),
        _share(
            found.nitrate, now.nitrate_peak, after.nitrate_peak, ("less nitrate", "more nitrate")
        ),
    ]
    said = [words for words in spoken if words]
    if found.steps:
        said.insert(0, f"{now.verdict} → {after.verdict}")
    elif not found.any:
        flows = after.flow_due > (1.0 + SAME) * now.flow_due
        said.insert(0, f"{NOTHING} but flow" if flows else NOTHING)
    return "; ".join(said)


def _share(gain: float, before: float, after: float, said: tuple[str, str]) -> str:
    """Return a gain or a loss in words, as a share of what was there where it had an end."""
    if not gain:
        return ""
    words = said[0] if gain > 0.0 else said[1]
    if not before or not math.isfinite(before) or not math.isfinite(after):
        return words
    return f"{number(PERCENT * abs(after - before) / before, 2)} % {words}"


def _move(before: float, after: float, unit: str) -> str:
    """Return before → after in the reader's unit; the metric pair stands beside it."""
    ends, own = (before, after), display_unit(unit)
    metric = _pair(*(_end(from_si(end, unit), unit) for end in ends))
    if own == unit:
        return metric
    return f"{_pair(*(_end(from_si(end, own), own) for end in ends))} ({metric})"


def _end(value: float, unit: str) -> str:
    if math.isfinite(value):
        return number(value, 2)
    return f"over {number(parameter('filter_day').high)}" if unit == "day" else "no end"


def _pair(old: str, new: str) -> str:
    return old if old == new else f"{old} → {new}"
