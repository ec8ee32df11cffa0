"""Lesson 15: what a filter carries now, and what each change would make of it, the best first."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.draws import Span
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FINE_STEPS, round_above
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.parameters import parameter
from aqualib.units import display_unit, label, number

ROWS = 6
"""What is now, and five changes."""
NAMES = 0.31
"""Share of the picture that the names take."""
LOOKS = {
    "food": style.FOOD,
    "days": style.SOLIDS,
    "nitrate": style.NITRATE,
}
HEADS = {
    "food": f"food carried, {label(display_unit('g/day'))}",
    "days": "days to cleaning",
    "nitrate": "nitrate, mg/L",
}
BAR, GAP = 0.3, 0.12
"""Height of a bar, and from a row's floor to it, where a row is 1 high."""
ROOM = 1.04
"""End of a column over its longest bar."""
DAYS = parameter("filter_day")
LEAST = 1e-9
"""Where there is nothing, a column still has an end."""
WAIT = "Let go: then the\nchanges are ranked."


@dataclass(frozen=True, slots=True)
class Effect:
    """What a system comes to: food in g/day, days (infinite: not within half a year), mg/L."""

    name: str
    worth: str
    """What it gains and loses, in a few words."""
    food: float
    days: float
    nitrate: float


@dataclass(frozen=True, slots=True)
class Ranking:
    """A filter now, and its changes, the one that buys most first; food in g/day."""

    given: float
    carried: Span
    verdict: str
    limiting: str
    now: Effect
    changes: tuple[Effect, ...]
    ranked: bool
    """Whether the changes, and the days of what is now, are worked out: not while a hand moves."""
    whole: Any
    """The system in SI numbers, from which the changes are worked out."""
    gains: bool = False
    """Whether the first change gains anything."""


class RankedChanges(Chart[Ranking]):
    """Rows of names, each with three bars after the change, against a line for what is now."""

    size = (7.4, 4.7)

    def build(self, figure: Figure, _: Ranking) -> list[Artist]:
        """Make names, columns, bars and their words."""
        sheet = figure.add_axes((0.0, 0.02, NAMES, 0.88))
        _plain(sheet)
        self.names = [style.write(sheet, 0.04, self._floor(row) + 0.5, "") for row in range(ROWS)]
        self.worths = [
            style.write(sheet, 0.04, self._floor(row) + 0.17, "", size=0.8, color=style.FAINT)
            for row in range(ROWS)
        ]
        wide = (1.0 - NAMES) / len(LOOKS)
        self.columns = {
            name: Column(
                figure.add_axes((NAMES + at * wide, 0.02, wide - 0.025, 0.88)),
                HEADS[name],
                look,
                endless=f"over {number(DAYS.high)}" if name == "days" else "no end",
            )
            for at, (name, look) in enumerate(LOOKS.items())
        }
        self.wait = style.write(sheet, 0.04, self._floor(2), WAIT, va="center")
        columns = [artist for column in self.columns.values() for artist in column.artists]
        return [*columns, *self.names, *self.worths, self.wait]

    @staticmethod
    def _floor(row: int) -> float:
        return float(ROWS - 1 - row)

    def update(self, ranking: Ranking) -> None:
        """Move bars and words; while a hand moves there is only what is now."""
        rows = [ranking.now, *ranking.changes[: ROWS - 1]]
        self.wait.set_visible(not ranking.ranked)
        for at in range(ROWS):
            there = at < len(rows)
            self.names[at].set_text(rows[at].name if there else "")
            self.worths[at].set_text(rows[at].worth if there else "")
        food = [row.food for row in rows]
        self.columns["food"].show(food, ranking.carried, ranking.given)
        self.columns["nitrate"].show([row.nitrate for row in rows])
        self.columns["days"].show([row.days for row in rows] if ranking.ranked else [])


def _plain(axes: Axes) -> None:
    axes.set_axis_off()
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(0.0, ROWS)


class Column:
    """One amount: a bar and its number for each row, and a line down from what is now."""

    def __init__(self, axes: Axes, head: str, look: style.Look, *, endless: str) -> None:
        """Make the parts; the head stands over the column, `endless` for what has no number."""
        self.endless = endless
        _plain(axes)
        style.write(axes, 0.0, ROWS + 0.22, head, size=0.9)
        self.bars = [patch(axes, look, 0.75, 1.0) for _ in range(ROWS)]
        (self.before,) = axes.plot([], [], "--", color=style.INK, lw=1.4)
        (self.given,) = axes.plot([], [], "^", color=style.INK, ms=8, clip_on=False)
        (self.whisker,) = axes.plot([], [], "-", color=style.INK, lw=1.6)
        self.numbers = [style.write(axes, 0.0, 0.0, "", size=0.9) for _ in range(ROWS)]
        self.artists: list[Artist] = [*self.bars, self.before, self.whisker, self.given]
        self.artists += self.numbers

    def show(
        self, values: list[float], doubt: Span | None = None, given: float | None = None
    ) -> None:
        """Show the rows' values, the first of which is now; the rest of the rows are empty.

        What is now may have its doubt, and under it a mark for the food that is given.
        """
        marked = () if given is None else (given,)
        known = [v for v in (*values, *(doubt or ()), *marked) if math.isfinite(v)]
        # A round end that stays while a hand moves a little, so that the bars are seen to move.
        end = ROOM * round_above(max([*known, LEAST]), FINE_STEPS)
        for at, (bar, word) in enumerate(zip(self.bars, self.numbers, strict=True)):
            there = at < len(values)
            bar.set_visible(there)
            if not there:
                word.set_text("")
                continue
            floor = ROWS - 1 - at
            long = min(values[at] / end, 1.0 / ROOM)
            bar.set_xy(rectangle(0.0, floor + GAP, long, BAR))
            word.set_text(self._moved(values[0], values[at]) if at else self._now(values[0], given))
            word.set_position((0.0, floor + GAP + BAR + 0.2))
        self.given.set_data([one / end for one in marked], [ROWS - 1 + 0.02] * len(marked))
        self._mark(values, end)
        self._whisker(doubt, end)

    def _mark(self, values: list[float], end: float) -> None:
        """Draw what is now across the bars of the changes, and not through their numbers."""
        x: list[float] = []
        y: list[float] = []
        for at in range(1, len(values)):
            low = ROWS - 1 - at + GAP
            place = min(values[0] / end, 1.0 / ROOM)
            x += [place, place, math.nan]
            y += [low - 0.05, low + BAR + 0.05, math.nan]
        self.before.set_data(x, y)

    def _whisker(self, doubt: Span | None, end: float) -> None:
        if doubt is None:
            self.whisker.set_data([], [])
            return
        low, high = doubt.low / end, doubt.high / end
        middle, cap = ROWS - 1 + GAP + 0.5 * BAR, 0.09
        self.whisker.set_data(
            [low, low, low, high, high, high],
            [middle - cap, middle + cap, middle, middle, middle + cap, middle - cap],
        )

    def _said(self, value: float) -> str:
        return self.endless if math.isinf(value) else number(value, 2)

    def _now(self, value: float, given: float | None) -> str:
        said = self._said(value)
        return said if given is None else f"{said}, given ▲ {number(given, 2)}"

    def _moved(self, before: float, after: float) -> str:
        old, new = self._said(before), self._said(after)
        return "the same" if old == new else f"{old} → {new}"
