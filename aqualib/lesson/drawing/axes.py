"""What the axes of several pictures share: round ends, units, numbers that grow, and marks.

An axis ends with a round number (`round_above`) in the unit set in force (`scale`, `as_shown`). On
a `GrowingAxis` places are shares of that end, so that a new end moves only the words under the
ticks. That is cheap, where new axes would be drawn anew. An `AmountAxis` is one for `Bars` with
whiskers; `AboveLimit` is the region above a limit, and `spread` keeps lines of words apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from matplotlib.artist import Artist
from matplotlib.axes import Axes

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.lesson.drawing.words import Words
from aqualib.units import Plain, display_unit, label, line_to

ONE_TWO_FIVE = 1.0, 2.0, 5.0, 10.0
FINE_STEPS = 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5, 10.0
"""For the top of a picture that should be well filled."""
HAIR = 1.0001
"""A value this much over a round number is still that number."""
FIFTHS = 0.0, 0.2, 0.4, 0.6, 0.8, 1.0
UNDER = 0.101
"""Inches from an axis for bars to the numbers under it."""
EDGE = 0.004
"""How far patches stay away from the axes' own lines."""


def round_above(value: float, steps: Sequence[float] = ONE_TWO_FIVE) -> float:
    """Return the first of `steps`, times any power of ten, that is not below a value."""
    if value <= 0.0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return next(step * power for step in steps if value <= step * power * HAIR)


def round_below(value: float) -> float:
    """Return the last of 1, 2 and 5, times any power of ten, that is not above a value."""
    # One over 1, 2 or 5 is again 1, 5 or 2 times a power of ten.
    return 1.0 / round_above(1.0 / value)


def roomy_end(highest: float) -> float:
    """Return a round end of an axis of mg/L that leaves a little room, between 1 and 500."""
    return round_above(min(max(1.08 * highest, 1.0), 500.0))


def scale(metric_unit: str) -> float:
    """Return the factor from a metric unit to the one shown."""
    return _line(metric_unit)[0]


def as_shown(value: Plain, metric_unit: str) -> Plain:
    """Return a number in a metric unit as a number in the one shown."""
    factor, offset = _line(metric_unit)
    return factor * value + offset


def _line(metric_unit: str) -> tuple[float, float]:
    unit = display_unit(metric_unit)
    return (1.0, 0.0) if unit == metric_unit else line_to(metric_unit, unit)


def scale_bar(length: float, metric_unit: str) -> tuple[float, str]:
    """Return a bar about so long, round in the unit shown: its length in metric, its words."""
    factor = scale(metric_unit)
    power = 10.0 ** math.floor(math.log10(length * factor))
    there = round(length * factor / power) * power
    return there / factor, f"{there:g} {label(display_unit(metric_unit))}"


class GrowingAxis:
    """Ticks at shares of an axis that is 1 long, and the numbers beside them."""

    def __init__(self, ticks: Sequence[float], marks: list[Words]) -> None:
        self.ticks, self.marks = ticks, marks
        self.end = 1.0

    @classmethod
    def upright(cls, axes: Axes, beside: float, ticks: Sequence[float] = FIFTHS) -> GrowingAxis:
        """Number the height of axes; the numbers stand at `beside`, left of them."""
        axes.set_ylim(0.0, 1.0)
        axes.set_yticks(ticks, [""] * len(ticks))
        return cls(ticks, [style.write(axes, beside, tick, "", 0.9, ha="right") for tick in ticks])

    @classmethod
    def along(
        cls, axes: Axes, under: float, ticks: Sequence[float] = FIFTHS, **look: Any
    ) -> GrowingAxis:
        """Number the width of axes; the numbers stand at `under`, below them."""
        axes.set_xlim(0.0, 1.0)
        axes.set_xticks(ticks, [""] * len(ticks))
        look = {"ha": "center", **look}
        return cls(ticks, [style.write(axes, tick, under, "", 0.9, **look) for tick in ticks])

    def grow(self, end: float) -> None:
        """Let the axis end with a number."""
        self.end = end
        for tick, mark in zip(self.ticks, self.marks, strict=True):
            mark.set_text(f"{end * tick:g}")


class AmountAxis:
    """Axes for bars of amounts in one metric unit, shown in the unit set in force."""

    length = 1.0

    def __init__(self, axes: Axes, text: str, metric_unit: str, rows: float) -> None:
        """Dress axes, `rows` high, with a name and ticks."""
        self.scale = scale(metric_unit)
        style.dress(axes, f"{text}, {label(display_unit(metric_unit))}")
        axes.spines["left"].set_visible(False)
        axes.set_yticks([])
        axes.set_ylim(0.0, rows)
        axes.xaxis.labelpad = 15.0 * style.text_scale()
        inches = axes.bbox.height / axes.figure.dpi
        self.numbers = GrowingAxis.along(axes, -UNDER * rows / inches, va="top")

    @property
    def end(self) -> float:
        """Where the axis ends, in the unit shown."""
        return self.numbers.end

    def grow(self, most: float) -> None:
        """Let the axis end with a round number that is not below `most`."""
        self.numbers.grow(round_above(most * self.scale))

    def place(self, value: float) -> float:
        """Return where a value stands, no further than the end."""
        return min(value * self.scale / self.end, 1.0)

    def is_beyond(self, value: float) -> bool:
        """Return whether a value lies beyond the end."""
        return value * self.scale > self.end


class BarAxis(Protocol):
    """What bars ask of the axis they stand on."""

    length: float
    """Where the axis ends, in its own coordinates."""

    def place(self, value: float) -> float:
        """Return where a value stands, no further than the end."""

    def is_beyond(self, value: float) -> bool:
        """Return whether a value lies beyond the end."""


class Bars:
    """Horizontal bars, each as long as its best guess, with whiskers from its low to its high end.

    An arrow at the end of the axis tells where whiskers run on.
    """

    def __init__(
        self,
        axes: Axes,
        looks: Mapping[str, style.Look],
        floors: Mapping[str, float],
        height: float,
    ) -> None:
        """Make a bar for each name, with its look, at its floor."""
        self.floors, self.height = floors, height
        self.blocks = {name: patch(axes, look, 0.75, 1.0) for name, look in looks.items()}
        (self.whiskers,) = axes.plot([], [], "-", color=style.INK, lw=1.6, clip_on=False)
        (self.beyond,) = axes.plot([], [], ">", color=style.INK, ms=8, clip_on=False)
        self.artists: list[Artist] = [*self.blocks.values(), self.whiskers, self.beyond]

    def show(self, axis: BarAxis, spans: Mapping[str, tuple[float, float, float]]) -> None:
        """Show low end, best guess and high end of each name; a name left out has no bar."""
        x: list[float] = []
        y: list[float] = []
        beyond: list[float] = []
        cap = 0.3 * self.height
        for name, block in self.blocks.items():
            block.set_visible(name in spans)
            if name not in spans:
                continue
            low, best, high = map(axis.place, spans[name])
            middle = self.floors[name] + 0.5 * self.height
            block.set_xy(rectangle(0.0, self.floors[name], best, self.height))
            # A cap at each end, and a gap before the next.
            x += [low, low, low, high, high, high, math.nan]
            y += [middle - cap, middle + cap, middle, middle, middle + cap, middle - cap, math.nan]
            if axis.is_beyond(spans[name][2]):
                beyond.append(middle)
        self.whiskers.set_data(x, y)
        self.beyond.set_data([axis.length] * len(beyond), beyond)


class AboveLimit:
    """The region above a limit, on axes from 0 to `end` that are 1 high.

    A hatch is dear to draw: it stands still, and a sheet of paper covers what is within.
    """

    def __init__(self, axes: Axes, end: float) -> None:
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


def spread(places: Sequence[float], gap: float, top: float) -> list[float]:
    """Return rising places moved just enough to stand `gap` apart, the last not above `top`."""
    out: list[float] = []
    for place in places:
        out.append(max(place, out[-1] + gap) if out else place)
    for at in reversed(range(len(out))):
        out[at] = min(out[at], top if at == len(out) - 1 else out[at + 1] - gap)
    return out
