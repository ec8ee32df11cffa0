"""Lesson 11: ammonia and nitrite after media were cleaned, and how much may be cleaned at once."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass, replace

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import FINE_STEPS, AboveLimit, GrowingAxis, round_above, spread
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.tank.maturation import Scenario
from aqualib.units import number

TICKS = 0.0, 0.5, 1.0
HEADROOM = 1.15
"""Of the highest number, so that neither a curve nor a limit lies on the edge."""
LOOKS = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE}
BOTTOMS = {"ammonia": 0.575, "nitrite": 0.125}
GAP = 0.06
"""Least distance of two lines of words beside the bar, as a share of its height."""


@dataclass(frozen=True, slots=True)
class Aftermath:
    """What follows a cleaning: percent, days, mg N/L.

    `largest` is the largest whole percent that keeps both limits; NaN if none does, None if it
    was not looked for yet.
    """

    scenario: Scenario
    share: float
    limits: dict[str, float]
    days: Array
    ammonia: Array
    nitrite: Array
    largest: float | None = None
    food_helps: bool = True
    """Whether less food would keep the limits, where they are passed without any cleaning."""

    @property
    def ripe(self) -> Scenario:
        """The same tank without the cleaning."""
        return replace(self.scenario, events=())

    def highest(self, name: str) -> tuple[float, float]:
        """Return the highest ammonia or nitrite, and its day."""
        level = getattr(self, name)
        at = int(np.argmax(level))
        return float(level[at]), float(self.days[at])

    def passes(self, name: str) -> bool:
        """Return whether ammonia or nitrite goes above its limit."""
        return self.highest(name)[0] > self.limits[name]

    @property
    def top(self) -> float:
        """A round end for the axes of both, with room above the highest number."""
        most = max(max(self.highest(name)[0], self.limits[name]) for name in LOOKS)
        return round_above(HEADROOM * most, FINE_STEPS)


class Substance:
    """Axes for one substance: its curve with the peak, its limit, and what they say."""

    def __init__(self, figure: Figure, name: str, end: float) -> None:
        """Draw the axes, from the cleaning to day `end`."""
        look = LOOKS[name]
        self.name, self.end = name, end
        axes = figure.add_axes((0.085, BOTTOMS[name], 0.6, 0.335))
        style.dress(axes, "days after the cleaning" if name == "nitrite" else "")
        axes.set_xlim(0.0, end)
        self.height = GrowingAxis.upright(axes, -0.02 * end, TICKS)
        days = np.arange(0.0, end + 0.5, 2.0)
        # Both have the same days: those under the upper one would touch the lower one's title.
        axes.set_xticks(
            days, [f"{day:g}" for day in days] if name == "nitrite" else [""] * len(days)
        )
        style.write(axes, 0.0, 1.12, name, weight="bold")
        self.above_limit = AboveLimit(axes, end)
        (self.limit,) = axes.plot([], [], "--", color=style.INK, lw=1.5)
        (self.curve,) = axes.plot([], [], look.dash, color=look.colour, lw=2.4)
        (self.peak,) = axes.plot(
            [], [], look.marker, ms=9, color=look.colour, mec="white", zorder=5, clip_on=False
        )
        # The number by itself: setting type for a long line at each step would be slow.
        self.head = style.write(axes, 0.36 * end, 1.12, ha="right")
        self.side = style.write(axes, 0.375 * end, 1.12)
        self.words = style.write(axes, 1.015 * end, 0.0, size=0.9)
        self.artists: list[Artist] = [
            self.above_limit.within, self.limit, self.curve, self.peak,
            self.head, self.side, self.words, *self.height.marks,
        ]  # fmt: skip

    def move(self, aftermath: Aftermath) -> None:
        """Move the curve, the limit and the words."""
        name, top = self.name, aftermath.top
        self.height.grow(top)
        limit = aftermath.limits[name]
        self.above_limit.move(limit / top)
        self.limit.set_data([0.0, self.end], [limit / top] * 2)
        self.curve.set_data(aftermath.days, getattr(aftermath, name) / top)
        peak, day = aftermath.highest(name)
        self.peak.set_data([day], [peak / top])
        self.head.set_text(number(peak, 2))
        side = "above" if aftermath.passes(name) else "within"
        self.side.set_text(f"mg N/L at most, {side} your limit")
        self.words.set_position((1.015 * self.end, limit / top))
        self.words.set_text(f"limit {number(limit, 2)}")


class AfterCleaning(Chart[Aftermath]):
    """Two curves on one scale, each with its limit, and a bar of the share that may go."""

    size = (7.2, 4.5)

    def frame(self, aftermath: Aftermath) -> Hashable:
        """Return how many days are shown."""
        return float(aftermath.days[-1])

    def build(self, figure: Figure, aftermath: Aftermath) -> list[Artist]:
        """Draw the axes; return curves, limits, the bar and the words."""
        end = float(aftermath.days[-1])
        self.substances = {name: Substance(figure, name, end) for name in LOOKS}
        curves = [artist for one in self.substances.values() for artist in one.artists]
        return [*curves, *self._bar(figure)]

    def update(self, aftermath: Aftermath) -> None:
        """Move everything to the result."""
        for substance in self.substances.values():
            substance.move(aftermath)
        self._move_bar(aftermath.share / 100.0, aftermath.largest)

    def _bar(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.815, 0.125, 0.05, 0.785))
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(0.0, 1.0)
        axes.set_xticks([])
        axes.set_yticks([])
        style.write(axes, -0.4, 1.05, "cleaned at once")
        self.safe = patch(axes, replace(style.SAFE, hatch="//"), 0.6, 1.0)
        (self.share,) = axes.plot([], [], "-", color=style.INK, lw=4)
        self.yours, self.most = (style.write(axes, 1.25, 0.0, size=0.95) for _ in range(2))
        return [self.safe, self.share, self.yours, self.most]

    def _move_bar(self, share: float, largest: float | None) -> None:
        safe = 0.0 if largest is None or math.isnan(largest) else largest / 100.0
        self.safe.set_xy(rectangle(0.0, 0.0, 1.0, safe))
        self.share.set_data([0.0, 1.0], [share, share])
        places = spread([max(low, 0.03) for low in sorted((share, safe))], GAP, 0.97)
        below, above = places if share <= safe else places[::-1]
        self.yours.set_position((1.25, below))
        self.yours.set_text(f"{number(100.0 * share)} % now")
        self.most.set_position((1.25, above))
        if largest is None:
            self.most.set_text("")
        else:
            self.most.set_text("none safe" if math.isnan(largest) else f"{largest:.0f} % safe")
