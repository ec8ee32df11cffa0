"""How a filter matures: ammonia, nitrite and nitrate over the weeks, and what to do when."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingHeight, round_above
from aqualib.lesson.drawing.shapes import patch, rectangle

FEWEST, MOST = 1.0, 500.0
WEEK = 7.0
# what to do, the same in one word, and the look
PHASES = (
    ("ammonia high:\ntest it daily", "ammonia", style.AMMONIA),
    ("nitrite high:\ntest it daily, wait", "nitrite", style.NITRITE),
    ("safe: test weekly,\nadd stock slowly", "safe", style.SAFE),
)


def top_for(highest: float) -> float:
    """Return a round top of the axis (1, 2 or 5 times a power of ten) above `highest`."""
    return round_above(float(min(max(1.08 * highest, FEWEST), MOST)))


def ribbon(time: Any, low: Any, high: Any) -> Any:
    """Return the outline between two curves."""
    there = np.column_stack([time, high])
    return np.concatenate([there, np.column_stack([time, low])[::-1]])


class MaturationCurves:
    """The chart of lesson 03: curves with bands, the safe region, and a strip of weeks."""

    size = (7.0, 4.7)

    def frame(self, result: Any) -> Hashable:
        """Return the last day; the numbers up the side move with the curves."""
        return float(result.time[-1])

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw both axes; return regions, curves, labels and phases."""
        self.last = float(result.time[-1])
        axes = figure.add_axes((0.1, 0.32, 0.885, 0.665))
        style.dress(axes)
        style.write(axes, -0.105 * self.last, 0.5, "mg N/L", ha="center", rotation=90)
        axes.set_xlim(0.0, self.last)
        self.height = GrowingHeight(axes, -0.015 * self.last)
        self.marks = self.height.marks
        axes.set_xticks(np.arange(0.0, self.last + 1.0, 2 * WEEK))
        self.safe = patch(axes, style.SAFE, 0.18, 0.2)
        self.safe.set_edgecolor("none")
        looks = {"ammonia": style.AMMONIA, "nitrite": style.NITRITE}
        self.bands = {name: patch(axes, look, 0.2, 0.5) for name, look in looks.items()}
        for band in self.bands.values():
            band.set_edgecolor("none")
        self.curves = {
            name: _curve(axes, look) for name, look in (*looks.items(), ("nitrate", style.NITRATE))
        }
        self.names = {
            name: style.write(axes, 0.0, 0.0, name, weight="bold", bbox=style.ON_PAPER, ha="center")
            for name in self.curves
        }
        self.span = axes.plot([0, 1], [0, 0], color=style.INK, lw=2, marker="|", ms=10)[0]
        self.ready = style.write(axes, 0.0, 0.94, ha="center", bbox=style.ON_PAPER)
        strip = self._strip(figure)
        curves = [*self.bands.values(), *self.curves.values(), *self.names.values()]
        return [self.safe, *curves, self.span, self.ready, *self.marks, *strip]

    def update(self, result: Any) -> None:
        """Move everything to the result."""
        top = top_for(result.highest)
        self.height.grow(top)
        for name, curve in self.curves.items():
            level = getattr(result, name) / top
            curve.set_data(result.time, level)
            self._name(name, result.time, level)
        for name, band in self.bands.items():
            band.set_visible(result.band is not None)
            if result.band is not None:
                level = getattr(result.band, name)
                band.set_xy(
                    ribbon(result.band.time, level.low / top, np.minimum(level.high / top, 1.0))
                )
        self._move_safe(result)
        self._move_phases(result)

    def _name(self, name: str, time: Any, level: Any) -> None:
        """Put a curve's name at its peak, or where it leaves the picture."""
        inside = np.flatnonzero(level <= 1.0)
        at = int(np.argmax(level))
        if level[at] > 1.0:
            at = int(inside[-1]) if len(inside) else 0
        x = min(max(float(time[at]), 0.06 * self.last), 0.93 * self.last)
        self.names[name].set_position((x, min(float(level[at]) + 0.05, 0.82)))

    def _move_safe(self, result: Any) -> None:
        ready = result.ready
        there = np.isfinite(ready)
        self.safe.set_visible(bool(there))
        if there:
            self.safe.set_xy(rectangle(ready, 0.0, self.last - ready, 1.0))
        low, _, high = result.band.ready if result.band is not None else (ready,) * 3
        self.span.set_visible(bool(np.isfinite(low)) and result.band is not None)
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

    def _move_phases(self, result: Any) -> None:
        end = result.ready if np.isfinite(result.ready) else self.last
        edges = [0.0, min(result.ammonia_falls, end), end, self.last]
        for phase, words, texts, low, high in zip(
            self.phases, self.words, PHASES, edges[:-1], edges[1:], strict=True
        ):
            phase.set_xy(rectangle(low, 0.0, high - low, 1.0))
            share = (high - low) / self.last
            words.set_text(texts[0] if share > 0.22 else texts[1])
            words.set_x((low + high) / 2.0)
            words.set_visible(share > 0.11)


def _curve(axes: Any, look: style.Look) -> Any:
    (line,) = axes.plot(
        [0.0, 1.0], [0.0, 0.0], linestyle=look.dash, marker=look.marker, markevery=28,
        color=look.colour, lw=2.2, ms=6,
    )  # fmt: skip
    return line
