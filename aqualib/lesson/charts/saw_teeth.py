"""Lesson 11: nitrate as a saw-tooth from change to change, a limit, and where it ends up."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FINE_STEPS, AboveLimit, GrowingAxis, round_above, spread
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.units import number

OVER_LIMIT, OVER_CURVE = 1.2, 1.25
"""Room for the words that stand above."""
BEYOND = 3.0
"""A long run this many times higher than all else is left above the picture."""
WIDE = 1.36
"""Width of the sheet over that of the weeks; the rest is for the long run."""
BAR_LEFT, BAR_WIDTH, BAR_WORDS = 1.06, 0.06, 1.14
GAP = 0.07
"""Least distance of two lines of words, as a share of the height."""


@dataclass(frozen=True, slots=True)
class Changes:
    """Nitrate between changes: percent, L, days, and mg/L as nitrate."""

    share: float
    every: float
    """Days from change to change."""
    gain: float
    tap: float
    now: float
    litres: float
    limit: float
    weeks: int
    days: Array
    nitrate: Array
    lowest: float
    highest: float
    """Where it ends up in the long run, just after and just before a change."""
    passed: float
    """The day on which the limit is first passed; infinite if never."""
    needed: float
    """The share that would keep the limit in the long run; infinite if none."""

    @property
    def new_water(self) -> float:
        """Litres of new water a week."""
        return self.share / 100.0 * self.litres * 7.0 / self.every

    @property
    def top(self) -> float:
        """A round end for the axis of nitrate."""
        wanted = max(OVER_LIMIT * self.limit, OVER_CURVE * float(self.nitrate.max()))
        if self.highest <= BEYOND * wanted:
            wanted = max(wanted, OVER_LIMIT * self.highest)
        return round_above(wanted, FINE_STEPS)


def when(passed: float) -> str:
    """Return when a limit is passed, in words; infinite is never."""
    if math.isinf(passed):
        return "never passed"
    return f"first passed on day {math.floor(passed) + 1}" if passed else "passed from the start"


class SawTeeth(Chart[Changes]):
    """The weeks on the left, and between which two numbers it ends up on the right."""

    size = (7.2, 4.4)

    def frame(self, changes: Changes) -> Hashable:
        """Return the number of weeks."""
        return changes.weeks

    def build(self, figure: Figure, changes: Changes) -> list[Artist]:
        """Draw the axes; return the curve, the limit, the bar and the words."""
        self.end = 7.0 * changes.weeks
        axes = figure.add_axes((0.085, 0.135, 0.905, 0.78))
        style.dress(axes)
        axes.set_xlim(0.0, WIDE * self.end)
        self.height = GrowingAxis.upright(axes, -0.02 * self.end)
        self.marks = self.height.marks
        axes.spines["bottom"].set_bounds(0.0, self.end)
        step = 2 if changes.weeks <= 12 else 4
        weeks = np.arange(0, changes.weeks + 1, step)
        axes.set_xticks(7.0 * weeks, [str(week) for week in weeks])
        axes.set_xlabel("weeks from now", fontsize=style.points(), x=0.5 / WIDE, color=style.INK)
        style.write(axes, -0.04 * self.end, 1.055, "nitrate in the tank, mg/L as nitrate (NO3)")
        style.write(axes, BAR_LEFT * self.end, 1.055, "in the long run")
        return [*self.marks, *self._limit(axes), *self._curve(axes), *self._bar(axes)]

    def update(self, changes: Changes) -> None:
        """Move everything to the result."""
        top = changes.top
        self.height.grow(top)
        self._move_limit(changes, top)
        self._move_curve(changes, top)
        self._move_bar(changes, top)

    def _limit(self, axes: Axes) -> list[Artist]:
        self.above_limit = AboveLimit(axes, self.end)
        self.within = self.above_limit.within
        (self.line,) = axes.plot([], [], "--", color=style.VERMILION, lw=2)
        (self.drop,) = axes.plot([], [], ":", color=style.VERMILION, lw=2)
        (self.cross,) = axes.plot([], [], "X", ms=10, color=style.VERMILION, mec="white", zorder=5)
        self.above, self.day = (
            style.write(axes, 0.02 * self.end, y, bbox=style.ON_PAPER, zorder=4.0, weight=weight)
            for y, weight in ((0.95, "bold"), (0.875, "normal"))
        )
        return [self.within, self.line, self.drop, self.cross, self.above, self.day]

    def _move_limit(self, changes: Changes, top: float) -> None:
        height = changes.limit / top
        self.above_limit.move(height)
        self.line.set_data([0.0, self.end], [height, height])
        self.above.set_text(f"above your limit of {number(changes.limit)} mg/L")
        there = 0.0 < changes.passed <= self.end
        self.drop.set_visible(there)
        self.cross.set_visible(there)
        if there:
            self.drop.set_data([changes.passed] * 2, [0.0, height])
            self.cross.set_data([changes.passed], [height])
        self.day.set_text(when(changes.passed))

    def _curve(self, axes: Axes) -> list[Artist]:
        look = style.NITRATE
        (self.lowest,) = axes.plot([], [], ":", color=look.colour, lw=1.2)
        (self.highest,) = axes.plot([], [], ":", color=look.colour, lw=1.2)
        (self.teeth,) = axes.plot([], [], "-", color=look.colour, lw=2.2)
        (self.now,) = axes.plot([], [], look.marker, ms=9, color=look.colour, mec="white", zorder=5)
        self.now.set_clip_on(False)
        return [self.lowest, self.highest, self.teeth, self.now]

    def _move_curve(self, changes: Changes, top: float) -> None:
        self.teeth.set_data(changes.days, changes.nitrate / top)
        self.now.set_data([0.0], [changes.nitrate[0] / top])
        for line, level in ((self.lowest, changes.lowest), (self.highest, changes.highest)):
            line.set_visible(level <= top)
            line.set_data([0.0, BAR_LEFT * self.end], [min(level / top, 1.0)] * 2)

    def _bar(self, axes: Axes) -> list[Artist]:
        self.bar = patch(axes, style.Look(style.NITRATE.colour, "-", "", "//"), 0.6, 1.0)
        self.beyond = style.write(axes, BAR_LEFT * self.end, 0.95, size=0.9, va="top")
        self.levels = [style.write(axes, BAR_WORDS * self.end, 0.0) for _ in range(2)]
        return [self.bar, self.beyond, *self.levels]

    def _move_bar(self, changes: Changes, top: float) -> None:
        low, high = (min(level / top, 1.0) for level in (changes.lowest, changes.highest))
        self.bar.set_xy(rectangle(BAR_LEFT * self.end, low, BAR_WIDTH * self.end, high - low))
        endless = math.isinf(changes.highest)
        self.bar.set_visible(not endless)
        self.beyond.set_text("rises without\nend" if endless else "")
        places = spread([max(low, 0.03), high], GAP, 0.97)
        levels = zip(self.levels, places, ("from", "up to"), strict=True)
        for (words, place, before), level in zip(
            levels, (changes.lowest, changes.highest), strict=True
        ):
            words.set_position((BAR_WORDS * self.end, place))
            words.set_text("" if endless else f"{before} {number(level)}")
