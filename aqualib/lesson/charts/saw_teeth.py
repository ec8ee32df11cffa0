"""Nitrate from water change to water change: a saw-tooth, a limit, and where it ends up."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import AboveLimit, GrowingHeight, round_above, spread
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import number

STEPS = 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5, 10.0
"""The top of the picture is one of these times a power of ten."""
OVER_LIMIT, OVER_CURVE = 1.2, 1.25
"""Room for the words that stand above."""
BEYOND = 3.0
"""A long run this many times higher than all else is left above the picture."""
WIDE = 1.36
"""Width of the sheet over that of the weeks; the rest is for the long run."""
BAR_LEFT, BAR_WIDTH, BAR_WORDS = 1.06, 0.06, 1.14
GAP = 0.07
"""Least distance of two lines of words, as a share of the height."""


def when(passed: float) -> str:
    """Return when a limit is passed, in words; infinite is never."""
    if math.isinf(passed):
        return "never passed"
    return f"first passed on day {math.floor(passed) + 1}" if passed else "passed from the start"


class SawTeeth:
    """The weeks on the left, and between which two numbers it ends up on the right."""

    size = (7.2, 4.4)

    def frame(self, result: Any) -> Hashable:
        """Return the number of weeks."""
        return int(result.weeks)

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw the axes; return the curve, the limit, the bar and the words."""
        self.end = 7.0 * result.weeks
        axes = figure.add_axes((0.085, 0.135, 0.905, 0.78))
        style.dress(axes)
        axes.set_xlim(0.0, WIDE * self.end)
        self.height = GrowingHeight(axes, -0.02 * self.end)
        self.marks = self.height.marks
        axes.spines["bottom"].set_bounds(0.0, self.end)
        step = 2 if result.weeks <= 12 else 4
        weeks = np.arange(0, result.weeks + 1, step)
        axes.set_xticks(7.0 * weeks, [str(week) for week in weeks])
        axes.set_xlabel("weeks from now", fontsize=style.points(), x=0.5 / WIDE, color=style.INK)
        style.write(axes, -0.04 * self.end, 1.055, "nitrate in the tank, mg/L as nitrate (NO3)")
        style.write(axes, BAR_LEFT * self.end, 1.055, "in the long run")
        return [*self.marks, *self._limit(axes), *self._curve(axes), *self._bar(axes)]

    def update(self, result: Any) -> None:
        """Move everything to the result."""
        top = self._top(result)
        self.height.grow(top)
        self._move_limit(result, top)
        self._move_curve(result, top)
        self._move_bar(result, top)

    @staticmethod
    def _top(result: Any) -> float:
        wanted = max(OVER_LIMIT * result.limit, OVER_CURVE * float(result.nitrate.max()))
        if result.highest <= BEYOND * wanted:
            wanted = max(wanted, OVER_LIMIT * result.highest)
        return round_above(wanted, STEPS)

    def _limit(self, axes: Any) -> list[Artist]:
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

    def _move_limit(self, result: Any, top: float) -> None:
        height = result.limit / top
        self.above_limit.move(height)
        self.line.set_data([0.0, self.end], [height, height])
        self.above.set_text(f"above your limit of {number(result.limit)} mg/L")
        there = 0.0 < result.passed <= self.end
        self.drop.set_visible(there)
        self.cross.set_visible(there)
        if there:
            self.drop.set_data([result.passed] * 2, [0.0, height])
            self.cross.set_data([result.passed], [height])
        self.day.set_text(when(result.passed))

    def _curve(self, axes: Any) -> list[Artist]:
        look = style.NITRATE
        (self.lowest,) = axes.plot([], [], ":", color=look.colour, lw=1.2)
        (self.highest,) = axes.plot([], [], ":", color=look.colour, lw=1.2)
        (self.teeth,) = axes.plot([], [], "-", color=look.colour, lw=2.2)
        (self.now,) = axes.plot([], [], look.marker, ms=9, color=look.colour, mec="white", zorder=5)
        self.now.set_clip_on(False)
        return [self.lowest, self.highest, self.teeth, self.now]

    def _move_curve(self, result: Any, top: float) -> None:
        self.teeth.set_data(result.days, result.nitrate / top)
        self.now.set_data([0.0], [result.nitrate[0] / top])
        for line, level in ((self.lowest, result.lowest), (self.highest, result.highest)):
            line.set_visible(level <= top)
            line.set_data([0.0, BAR_LEFT * self.end], [min(level / top, 1.0)] * 2)

    def _bar(self, axes: Any) -> list[Artist]:
        self.bar = patch(axes, style.Look(style.NITRATE.colour, "-", "", "//"), 0.6, 1.0)
        self.beyond = style.write(axes, BAR_LEFT * self.end, 0.95, size=0.9, va="top")
        self.levels = [style.write(axes, BAR_WORDS * self.end, 0.0) for _ in range(2)]
        return [self.bar, self.beyond, *self.levels]

    def _move_bar(self, result: Any, top: float) -> None:
        low, high = (min(level / top, 1.0) for level in (result.lowest, result.highest))
        self.bar.set_xy(rectangle(BAR_LEFT * self.end, low, BAR_WIDTH * self.end, high - low))
        endless = math.isinf(result.highest)
        self.bar.set_visible(not endless)
        self.beyond.set_text("rises without\nend" if endless else "")
        places = spread([max(low, 0.03), high], GAP, 0.97)
        levels = zip(self.levels, places, ("from", "up to"), strict=True)
        for (words, place, before), level in zip(
            levels, (result.lowest, result.highest), strict=True
        ):
            words.set_position((BAR_WORDS * self.end, place))
            words.set_text("" if endless else f"{before} {number(level)}")
