"""Lesson 03: ammonia, nitrite and nitrate while a filter matures, and what to do when."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingAxis, roomy_end
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, ribbon, tint
from aqualib.tank.maturation import Scenario
from aqualib.tank.maturation.forecast import Bands

WEEK = 7.0
# what to do, the same in one word, and the look
PHASES = (
    ("ammonia high:\ntest it daily", "ammonia", style.AMMONIA),
    ("nitrite high:\ntest it daily, wait", "nitrite", style.NITRITE),
    ("safe: test weekly,\nadd stock slowly", "safe", style.SAFE),
)


@dataclass(frozen=True)
class Run:
    """One run: days, mg N/L, L, mg N a day; `ready` is NaN if it is not safe in this time."""

    scenario: Scenario
    seed: str
    celsius: float
    salinity: float
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
    band: Bands | None = None

    @property
    def highest(self) -> float:
        """The highest ammonia or nitrite, mg N/L."""
        return float(max(self.ammonia.max(), self.nitrite.max()))


class MaturationCurves(Chart[Run]):
    """Curves with bands, the safe region, and a strip of weeks."""

    size = (7.0, 4.7)

    def frame(self, run: Run) -> Hashable:
        """Return the last day; the numbers up the side move with the curves."""
        return float(run.time[-1])

    def build(self, figure: Figure, run: Run) -> list[Artist]:
        """Draw both axes; return regions, curves, labels and phases."""
        self.last = float(run.time[-1])
        axes = figure.add_axes((0.1, 0.32, 0.885, 0.665))
        style.dress(axes)
        style.write(axes, -0.105 * self.last, 0.5, "mg N/L", ha="center", rotation=90)
        axes.set_xlim(0.0, self.last)
        self.height = GrowingAxis.upright(axes, -0.015 * self.last)
        self.marks = self.height.marks
        axes.set_xticks(np.arange(0.0, self.last + 1.0, 2 * WEEK))
        self.safe = tint(axes, style.SAFE, 0.18, 0.2)
        looks = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE}
        self.bands = {name: tint(axes, look, 0.2) for name, look in looks.items()}
        self.curves = {
            name: _curve(axes, look) for name, look in (*looks.items(), ("nitrate", style.NITRATE))
        }
        self.names = {
            name: style.write(axes, 0.0, 0.0, name, weight="bold", bbox=style.ON_PAPER, ha="center")
            for name in self.curves
        }
        (self.span,) = axes.plot([0, 1], [0, 0], color=style.INK, lw=2, marker="|", ms=10)
        self.ready = style.write(axes, 0.0, 0.94, ha="center", bbox=style.ON_PAPER)
        strip = self._strip(figure)
        curves = [*self.bands.values(), *self.curves.values(), *self.names.values()]
        return [self.safe, *curves, self.span, self.ready, *self.marks, *strip]

    def update(self, run: Run) -> None:
        """Move everything to the result."""
        top = roomy_end(run.highest)
        self.height.grow(top)
        for name, curve in self.curves.items():
            level = getattr(run, name) / top
            curve.set_data(run.time, level)
            self._name(name, run.time, level)
        for name, band in self.bands.items():
            band.set_visible(run.band is not None)
            if run.band is not None:
                matter = getattr(run.band, name)
                high = np.minimum(matter.high / top, 1.0)
                band.set_xy(ribbon(run.band.time, high, matter.low / top))
        self._move_safe(run)
        self._move_phases(run)

    def _name(self, name: str, time: Array, level: Array) -> None:
        """Put a curve's name at its peak, or where it leaves the picture."""
        inside = np.flatnonzero(level <= 1.0)
        at = int(np.argmax(level))
        if level[at] > 1.0:
            at = int(inside[-1]) if len(inside) else 0
        x = min(max(float(time[at]), 0.06 * self.last), 0.93 * self.last)
        self.names[name].set_position((x, min(float(level[at]) + 0.05, 0.82)))

    def _move_safe(self, run: Run) -> None:
        ready = run.ready
        there = np.isfinite(ready)
        self.safe.set_visible(bool(there))
        if there:
            self.safe.set_xy(rectangle(ready, 0.0, self.last - ready, 1.0))
        low, _, high = run.band.ready if run.band is not None else (ready,) * 3
        self.span.set_visible(bool(np.isfinite(low)) and run.band is not None)
        if np.isfinite(low):
            end = high if np.isfinite(high) else self.last
            self.span.set_data([low, end], [0.99] * 2)
        text = f"safe from day {ready:.0f}" if there else "not safe in this time"
        self.ready.set_text(text)
        middle = ready if there else self.last / 2.0
        self.ready.set_position((min(max(middle, 0.14 * self.last), 0.86 * self.last), 0.94))

    def _strip(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.1, 0.115, 0.885, 0.135))
        style.dress(axes, "days since the start")
        axes.set_xlim(0.0, self.last)
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks([])
        axes.spines["left"].set_visible(False)
        axes.set_xticks(np.arange(0.0, self.last + 1.0, WEEK))
        self.phases = [patch(axes, look, 0.25, 0.5) for _, _, look in PHASES]
        self.words = [
            style.write(axes, 0.0, 0.5, text, ha="center", size=0.85, linespacing=1.15)
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
            words.set_text(texts[0] if share > 0.22 else texts[1])
            words.set_x((low + high) / 2.0)
            words.set_visible(share > 0.11)


def _curve(axes: Axes, look: style.Look) -> Line2D:
    (line,) = axes.plot(
        [0.0, 1.0], [0.0, 0.0], linestyle=look.dash, marker=look.marker, markevery=28,
        color=look.colour, lw=2.2, ms=6,
    )  # fmt: skip
    return line
