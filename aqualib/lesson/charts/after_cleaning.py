"""Ammonia and nitrite in the days after media were cleaned, and how much may be cleaned at once."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts.saw_teeth import STEPS
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import AboveLimit, GrowingHeight, round_above, spread
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import number

TICKS = 0.0, 0.5, 1.0
HEADROOM = 1.15
"""Of the highest number, so that neither a curve nor a limit lies on the edge."""
LOOKS = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE}
BOTTOMS = {"ammonia": 0.575, "nitrite": 0.125}
GAP = 0.06
"""Least distance of two lines of words beside the bar, as a share of its height."""


class AfterCleaning:
    """Two curves on one scale, each with its limit, and a bar of the share that may go."""

    size = (7.2, 4.5)

    def frame(self, result: Any) -> Hashable:
        """Return how many days are shown."""
        return float(result.days[-1])

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw the axes; return curves, limits, the bar and the words."""
        self.end = float(result.days[-1])
        self.curves: dict[str, Any] = {}
        self.limits: dict[str, Any] = {}
        self.above_limits: dict[str, AboveLimit] = {}
        self.heights: dict[str, GrowingHeight] = {}
        self.peaks: dict[str, Any] = {}
        self.heads: dict[str, Any] = {}
        self.sides: dict[str, Any] = {}
        self.words: dict[str, Any] = {}
        self.marks: dict[str, list[Any]] = {}
        moving: list[Artist] = []
        for name in LOOKS:
            moving += self._substance(figure, name)
        return [*moving, *self._bar(figure)]

    def update(self, result: Any) -> None:
        """Move everything to the result."""
        most = max(
            level for name in LOOKS for level in (result.highest(name)[0], result.limits[name])
        )
        top = round_above(HEADROOM * most, STEPS)
        for name in LOOKS:
            self._move_substance(name, result, top)
        self._move_bar(result)

    def _substance(self, figure: Figure, name: str) -> list[Artist]:
        look = LOOKS[name]
        axes = figure.add_axes((0.085, BOTTOMS[name], 0.6, 0.335))
        style.dress(axes, "days after the cleaning" if name == "nitrite" else "")
        axes.set_xlim(0.0, self.end)
        self.heights[name] = GrowingHeight(axes, -0.02 * self.end, TICKS)
        self.marks[name] = self.heights[name].marks
        axes.set_xticks(np.arange(0.0, self.end + 0.5, 2.0))
        style.write(axes, 0.0, 1.12, name, weight="bold")
        self.above_limits[name] = AboveLimit(axes, self.end)
        (self.limits[name],) = axes.plot([], [], "--", color=style.INK, lw=1.5)
        (self.curves[name],) = axes.plot([], [], look.dash, color=look.colour, lw=2.4)
        (self.peaks[name],) = axes.plot(
            [], [], look.marker, ms=9, color=look.colour, mec="white", zorder=5
        )
        self.peaks[name].set_clip_on(False)
        # The number by itself: setting type for a long line at each step would be slow.
        self.heads[name] = style.write(axes, 0.36 * self.end, 1.12, ha="right")
        self.sides[name] = style.write(axes, 0.375 * self.end, 1.12)
        self.words[name] = style.write(axes, 1.015 * self.end, 0.0, size=0.9)
        first = [
            self.above_limits[name].within,
            self.limits[name],
            self.curves[name],
            self.peaks[name],
        ]
        texts = self.heads[name], self.sides[name], self.words[name]
        return [*first, *texts, *self.marks[name]]

    def _move_substance(self, name: str, result: Any, top: float) -> None:
        self.heights[name].grow(top)
        limit = result.limits[name]
        height = limit / top
        self.above_limits[name].move(height)
        self.limits[name].set_data([0.0, self.end], [height, height])
        self.curves[name].set_data(result.days, getattr(result, name) / top)
        peak, day = result.highest(name)
        self.peaks[name].set_data([day], [peak / top])
        side = "above" if result.passes(name) else "within"
        self.heads[name].set_text(number(peak, 2))
        self.sides[name].set_text(f"mg N/L at most, {side} your limit")
        self.words[name].set_position((1.015 * self.end, height))
        self.words[name].set_text(f"limit {number(limit, 2)}")

    def _bar(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.815, 0.125, 0.05, 0.785))
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(0.0, 1.0)
        axes.set_xticks([])
        axes.set_yticks([])
        style.write(axes, -0.4, 1.05, "cleaned at once")
        self.safe = patch(axes, style.Look(style.SAFE.colour, "-", "", "//"), 0.6, 1.0)
        (self.share,) = axes.plot([], [], "-", color=style.INK, lw=4)
        self.yours, self.most = (style.write(axes, 1.25, 0.0, size=0.95) for _ in range(2))
        return [self.safe, self.share, self.yours, self.most]

    def _move_bar(self, result: Any) -> None:
        largest = result.largest
        known = largest is not None and not math.isnan(largest)
        share, safe = result.share / 100.0, largest / 100.0 if known else 0.0
        self.safe.set_xy(rectangle(0.0, 0.0, 1.0, safe))
        self.share.set_data([0.0, 1.0], [share, share])
        places = spread([max(low, 0.03) for low in sorted((share, safe))], GAP, 0.97)
        below, above = places if share <= safe else places[::-1]
        self.yours.set_position((1.25, below))
        self.yours.set_text(f"{number(result.share)} % now")
        self.most.set_position((1.25, above))
        if largest is None:
            self.most.set_text("")
        else:
            self.most.set_text(f"{largest:.0f} % safe" if known else "none safe")
