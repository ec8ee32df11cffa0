"""Axes from nought to a round number that grows with what they have to show, and whiskers.

The axes stay as they are, 0 to 1; only the words under the ticks change. That is cheap, where new
axes would be drawn anew.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from matplotlib.artist import Artist

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import display_unit, label, line_to

TICKS = 5
FIFTHS = 0.0, 0.2, 0.4, 0.6, 0.8, 1.0
ONE_TWO_FIVE = 1.0, 2.0, 5.0, 10.0
EDGE = 0.004
"""How far patches stay away from the axes' own lines."""


def round_above(value: float, steps: tuple[float, ...] = ONE_TWO_FIVE) -> float:
    """Return the first of `steps`, times any power of ten, that is not below a value."""
    if value <= 0.0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in steps if value <= step * power * 1.0001)


class GrowingAxis:
    """Axes for horizontal bars of amounts in one metric unit, shown in the unit set in force."""

    def __init__(self, axes: Any, text: str, metric_unit: str, rows: float) -> None:
        """Dress axes, `rows` high, with a name and ticks."""
        self.scale = scale(metric_unit)
        style.dress(axes, f"{text}, {label(display_unit(metric_unit))}")
        axes.spines["left"].set_visible(False)
        axes.set_yticks([])
        places = np.linspace(0.0, 1.0, TICKS + 1)
        axes.set_xticks(places, labels=[""] * (TICKS + 1))
        axes.xaxis.labelpad = 15.0 * style.points() / style.POINTS
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(0.0, rows)
        under = (
            -0.12 * rows / 4.75 * 4.0 / (axes.get_position().height * axes.figure.get_figheight())
        )
        self.words: list[Artist] = [
            style.write(axes, place, under, size=0.9, ha="center", va="top") for place in places
        ]

    def grow(self, most: float) -> None:
        """Let the axis end with a round number that is not below `most`."""
        self.end = round_above(most * self.scale)
        for at, word in enumerate(self.words):
            word.set_text(f"{at / TICKS * self.end:g}")  # type: ignore[attr-defined]

    def place(self, value: float) -> float:
        """Return where a value stands, no further than the end."""
        return min(value * self.scale / self.end, 1.0)

    def is_beyond(self, value: float) -> bool:
        """Return whether a value lies beyond the end."""
        return value * self.scale > self.end


class GrowingHeight:
    """A vertical axis on which heights are shares of the top: a new scale moves only numbers."""

    def __init__(self, axes: Any, beside: float, ticks: tuple[float, ...] = FIFTHS) -> None:
        """Prepare axes; the numbers stand at `beside`, left of the axis."""
        self.ticks = ticks
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks(ticks, [""] * len(ticks))
        self.marks = [style.write(axes, beside, tick, ha="right", size=0.9) for tick in ticks]

    def grow(self, top: float) -> None:
        """Let the axis end with `top`."""
        for tick, mark in zip(self.ticks, self.marks, strict=True):
            mark.set_text(f"{top * tick:g}")


class Whiskers:
    """The doubt of horizontal bars: a line with caps for each, an arrow where one runs on."""

    def __init__(self, axes: Any) -> None:
        (self.line,) = axes.plot([], [], "-", color=style.INK, lw=1.6, clip_on=False)
        (self.beyond,) = axes.plot([], [], ">", color=style.INK, ms=8, clip_on=False)

    def show(
        self, spans: list[tuple[float, float, float]], half: float, beyond: list[float], end: float
    ) -> None:
        """Show spans (low, high, height), with caps of `half`, and arrows at heights `beyond`."""
        x: list[float] = []
        y: list[float] = []
        for low, high, middle in spans:
            across, up = whisker(low, high, middle, half)
            x += across
            y += up
        self.line.set_data(x, y)
        self.beyond.set_data([end] * len(beyond), beyond)


def whisker(low: float, high: float, middle: float, half: float) -> tuple[list[float], list[float]]:
    """Return the line of a span with a cap at each end, closed by a gap."""
    x = [low, low, low, high, high, high, math.nan]
    y = [middle - half, middle + half, middle, middle, middle + half, middle - half, math.nan]
    return x, y


class AboveLimit:
    """The region above a limit, on axes from 0 to `end` that are 1 high.

    A hatch is dear to draw: it stands still, and a sheet of paper covers what is within.
    """

    def __init__(self, axes: Any, end: float) -> None:
        self.end = end
        hatched = patch(axes, style.DANGER, 0.16, 0.5)
        hatched.set_edgecolor("#E9B99B")
        hatched.set_xy(rectangle(EDGE * end, EDGE, (1.0 - EDGE) * end, 1.0 - EDGE))
        self.within = patch(axes, style.Look(style.PAPER), 1.0, 0.6)
        self.within.set_edgecolor("none")

    def move(self, height: float) -> None:
        """Let the limit stand at a height."""
        # A little wider than the hatch, so that no edge of it shines through.
        tall = max(height - EDGE, 0.0)
        self.within.set_xy(rectangle(EDGE * self.end, EDGE, 1.01 * self.end, tall))


def scale(metric_unit: str) -> float:
    """Return the factor from a metric unit to the one shown."""
    unit = display_unit(metric_unit)
    return 1.0 if unit == metric_unit else line_to(metric_unit, unit)[0]


def step_above(value: float, steps: tuple[float, ...]) -> float:
    """Return the first of some rising steps that is not below a value, or the last."""
    return next((step for step in steps if value <= step * 1.0001), steps[-1])


def spread(places: list[float], gap: float, top: float) -> list[float]:
    """Return rising places moved just enough to stand `gap` apart, the last not above `top`."""
    out: list[float] = []
    for place in places:
        out.append(max(place, out[-1] + gap) if out else place)
    for at in reversed(range(len(out))):
        out[at] = min(out[at], top if at == len(out) - 1 else out[at + 1] - gap)
    return out
