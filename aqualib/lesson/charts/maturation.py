"""Lesson 03: ammonia, nitrite and nitrate while a filter matures, and what to do when."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingAxis, roomy_end
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, ribbon, tint
from aqualib.tank.maturation import Scenario
from aqualib.tank.maturation.forecast import Bands

WEEK = 7.0
# What to do, the same in one word, and the look: what harms never has the look of what is safe.
PHASES = (
    ("ammonia high:\ntest it daily", "ammonia", (style.DANGER, 0.5)),
    ("nitrite high:\ntest it daily, wait", "nitrite", (style.CAUTION, 0.4)),
    ("safe: test weekly,\nadd stock slowly", "safe", (style.SAFE, 0.18)),
)
RESTED, MOVING = (0.12, 1.0), (0.06, 0.35)
"""Strength of a band and of its edges, when the hand rests and while it moves."""
ABOVE, ODDS = 1.13, 1.035
"""Heights of the words and of the marks over the curves, in heights of these."""
SIGN = 0.0125
"""Width of one sign of a curve's name, as a share of the axis at page size."""
LINE = 0.075
"""Height of a curve's name."""
ALONG = (0.0, 0.05, -0.05, 0.1, -0.1, 0.16, -0.16, 0.24, -0.24, 0.34, 0.5, -0.34)
"""Where a curve's name is tried, from its peak, as shares of the axis."""
HIGHEST = 0.93
"""Of the axis: the middle of a curve's name."""


@dataclass(frozen=True)
class Run:
    """One run: days, mg N/L, L, mg N a day; `ready` is NaN if it is not safe in this time."""

    scenario: Scenario
    celsius: float
    load: float
    litres: float
    time: Array
    ammonia: Array
    nitrite: Array
    nitrate: Array
    ready: float
    ammonia_falls: float
    """The day from which ammonia stays within its limit."""
    why: str
    """What held it up longest."""
    never: str = ""
    """Why more days would not help; "" if they would."""
    band: Bands | None = None

    @property
    def last_to_fall(self) -> str:
        """Which of the two holds the tank up to the end."""
        end = self.ready if np.isfinite(self.ready) else float(self.time[-1]) - 1e-6
        return "nitrite" if self.ammonia_falls < end else "ammonia"

    @property
    def highest(self) -> float:
        """The highest ammonia or nitrite, mg N/L."""
        return float(max(self.ammonia.max(), self.nitrite.max()))


class MaturationCurves(Chart[Run]):
    """Curves, the band of the last to fall, the day that is safe, and a strip of weeks."""

    size = (7.0, 4.7)

    def frame(self, run: Run) -> Hashable:
        """Return the last day; the numbers up the side move with the curves."""
        return float(run.time[-1])

    def build(self, figure: Figure, run: Run) -> list[Artist]:
        """Draw both axes; return regions, curves, labels and phases."""
        self.last = float(run.time[-1])
        axes = figure.add_axes((0.085, 0.295, 0.9, 0.595))
        style.dress(axes)
        style.write(axes, -0.09 * self.last, ABOVE, "mg N/L")
        axes.set_xlim(0.0, self.last)
        self.height = GrowingAxis.upright(axes, -0.015 * self.last)
        self.marks = self.height.marks
        axes.set_xticks(np.arange(0.0, self.last + 1.0, 2 * WEEK), [])
        looks = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE}
        self.bands = {name: tint(axes, look, 0.15) for name, look in looks.items()}
        self.tints = {
            name: [[to_rgba(look.colour, share) for share in pair] for pair in (RESTED, MOVING)]
            for name, look in looks.items()
        }
        for band in self.bands.values():
            band.set(alpha=None, linewidth=0.8)
        self.before: Bands | None = None
        self.curves = {
            name: _curve(axes, look) for name, look in (*looks.items(), ("nitrate", style.NITRATE))
        }
        self.names = {
            name: style.write(axes, 0.0, 0.0, name, weight="bold", bbox=style.ON_PAPER, ha="center")
            for name in self.curves
        }
        (self.safe,) = axes.plot([0.0, 0.0], [0.0, 1.0], color=style.INK, lw=1.5)
        (self.odds,) = axes.plot([], [], "v", ms=7, color=style.INK, clip_on=False)
        self.said = style.write(axes, 0.07 * self.last, ABOVE, size=0.9)
        strip = self._strip(figure)
        curves = [*self.bands.values(), *self.curves.values(), self.safe, *self.names.values()]
        return [*curves, self.odds, self.said, *self.marks, *strip]

    def update(self, run: Run) -> None:
        """Move everything to the result."""
        top = roomy_end(run.highest)
        self.height.grow(top)
        for name, curve in self.curves.items():
            level = getattr(run, name) / top
            curve.set_data(run.time, level)
        self._name_curves(run, top)
        # While the hand moves, the band of before stays, paler.
        self.before = doubt = run.band or self.before
        for name, band in self.bands.items():
            # One at a time: two bands over each other are a third colour.
            band.set_visible(doubt is not None and name == run.last_to_fall)
            if doubt is not None:
                matter = getattr(doubt, name)
                high = np.minimum(matter.high / top, 1.0)
                band.set_xy(ribbon(doubt.time, high, np.minimum(matter.low / top, 1.0)))
                face, edge = self.tints[name][0 if run.band else 1]
                band.set(facecolor=face, edgecolor=edge)
        self._move_safe(run)
        self._move_phases(run)

    def _name_curves(self, run: Run, top: float) -> None:
        """Put each curve's name at its peak or near, where it lies on no other name."""
        taken: list[tuple[float, float, float]] = []
        for name, words in self.names.items():
            level = getattr(run, name) / top
            half = 0.5 * SIGN * (len(name) + 2) * style.text_scale()
            # A curve that leaves the picture has its peak where it does so.
            over = np.flatnonzero(level > 1.0)
            peak = int(over[0]) if len(over) else int(np.argmax(level))
            start = run.time[peak] / self.last
            x, y = min(
                (self._place(run.time, level, start + aside, half) for aside in ALONG),
                key=lambda place: sum(clash(place, half, other) for other in taken),
            )
            taken.append((x, y, half))
            words.set_position((x * self.last, y))

    def _place(self, time: Array, level: Array, share: float, half: float) -> tuple[float, float]:
        """Return where a name would stand over a curve, as shares of both axes."""
        x = min(max(share, half), 1.0 - half)
        height = float(np.interp(x * self.last, time, level))
        return x, min(height + 0.6 * LINE * style.text_scale(), HIGHEST)

    def _move_safe(self, run: Run) -> None:
        there = bool(np.isfinite(run.ready))
        self.safe.set_visible(there)
        self.safe.set_xdata([run.ready, run.ready])
        self.odds.set_visible(run.band is not None)
        if run.band is None:
            self.said.set_text(f"safe from day {run.ready:.0f}" if there else "")
            return
        days = [day for day in run.band.ready if np.isfinite(day)]
        self.odds.set_data(days, [ODDS] * len(days))
        odds = ("one run in twenty", "half", "19 in 20")
        told = [f"{share} by day {day:.0f}" for share, day in zip(odds, days, strict=False)]
        never = f"▾ no run in twenty is safe by day {self.last:.0f}"
        self.said.set_text(f"▾ safe: {' · '.join(told)}" if told else never)

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.085, 0.115, 0.9, 0.14))
        style.dress(axes, "days since the start")
        axes.set_xlim(0.0, self.last)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.set_xticks(np.arange(0.0, self.last + 1.0, 2 * WEEK))
        self.phases = [patch(axes, look, strength, 0.5) for _, _, (look, strength) in PHASES]
        paper = {**style.ON_PAPER, "alpha": 0.9}
        self.words = [
            style.write(axes, 0.0, 0.5, text, 0.85, ha="center", linespacing=1.15, bbox=paper)
            for text, _, _ in PHASES
        ]
        return [*self.phases, *self.words]

    def _move_phases(self, run: Run) -> None:
        end = run.ready if np.isfinite(run.ready) else self.last
        edges = [0.0, min(run.ammonia_falls, end), end, self.last]
        for phase, words, texts, low, high in zip(
            self.phases, self.words, PHASES, edges[:-1], edges[1:], strict=True
        ):
            phase.set_xy(rectangle(low, 0.0, high - low, 1.0))
            share = (high - low) / self.last
            large = style.text_scale()
            words.set_text(texts[0] if share > 0.23 * large else texts[1])
            words.set_x((low + high) / 2.0)
            words.set_visible(share > 0.11 * large)


def clash(place: tuple[float, float], half: float, other: tuple[float, float, float]) -> float:
    """Return by how much a name at a place would lie on another name, 0 where it does not."""
    across = half + other[2] - abs(place[0] - other[0])
    up = LINE * style.text_scale() - abs(place[1] - other[1])
    return max(across, 0.0) * max(up, 0.0)


def _curve(axes: Axes, look: style.Look) -> Line2D:
    (line,) = axes.plot(
        [0.0, 1.0], [0.0, 0.0], linestyle=look.dash, marker=look.marker, markevery=28,
        color=look.colour, lw=2.2, ms=6,
    )  # fmt: skip
    return line
