"""Lesson 04: the filter as it fills, the load of each stage, and the flow over the weeks."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts.filter_section import SHEET_HEIGHT, SHEET_WIDTH, FilterSection
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.lesson.drawing.words import Kept
from aqualib.units import display_unit, label, number, shown

BARS_LEFT = 440.0
FULL_BAR = 72.0
"""Length of a bar at its limit, in mm of the sheet."""
LONGEST = 1.5
"""Bars are cut off at this many times the limit."""
HIGHEST_FLOW = 1400.0


class FillingFilter:
    """The cross-section with a bar beside each stage, and a strip with the flow over time."""

    size = (7.2, 5.75)

    def __init__(self, trays: int, days: float) -> None:
        """Make a chart for so many trays and days."""
        self.trays, self.days = trays, days

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw headings and axes; return section, bars and the flow."""
        tall = self.size[0] * SHEET_HEIGHT / SHEET_WIDTH / self.size[1]
        axes = figure.add_axes((0.0, 1.0 - tall, 1.0, tall))
        style.bare(axes, SHEET_WIDTH, SHEET_HEIGHT)
        axes.plot([8.0, 108.0], [8.0, 8.0], color=style.FAINT, lw=3)
        style.write(axes, 116.0, 8.0, shown(10.0, "cm"), size=0.85, color=style.FAINT)
        self.section = FilterSection(axes, self.trays)
        bars, strip = self._bars(axes), self._strip(figure)
        still = [*self.section.kept, *self.frames, self.due_line, self.due_name]
        self.kept = Kept(figure, [*still, self.late, self.flow, self.due, self.due_day])
        return [self.kept, *self.section.moving, *bars, *strip]

    def update(self, result: Any) -> None:
        """Fill the filter, stretch the bars, move along the flow."""
        self.kept.key = result.stack
        self.section.move(result.width, result.settling, result.depth, result.stages)
        floors = self.section.floors
        heights = [result.settling, *[result.depth] * self.trays]
        for at, stage in enumerate(result.stages):
            tall = min(0.55 * heights[at], 20.0)
            middle = floors[at] + heights[at] / 2.0
            full = stage.grade != "empty"
            self.frames[at].set_xy(rectangle(BARS_LEFT, middle - tall / 2.0, full * FULL_BAR, tall))
            length = min(stage.fullness, LONGEST) * FULL_BAR
            self.bars[at].set_xy(rectangle(BARS_LEFT, middle - tall / 2.0, length, tall))
            self.amounts[at].set_position((BARS_LEFT + LONGEST * FULL_BAR + 6.0, middle))
            grams = shown(stage.grams, "g", 2).replace(" (", "\n(")
            self.amounts[at].set_text(grams if full else "")
        top = floors[-1] + heights[-1]
        self.due_line.set_data([BARS_LEFT + FULL_BAR] * 2, [floors[0], top + 8.0])
        self.due_name.set_position((BARS_LEFT + FULL_BAR, top + 18.0))
        self.water.set_position((BARS_LEFT, top + 44.0))
        self.water.set_text(f"tank water: {number(result.suspended, 2)} mg/L")
        self._move_strip(result)

    def _bars(self, axes: Any) -> list[Artist]:
        places = range(self.trays + 1)
        self.bars = [patch(axes, style.SOLIDS, 0.9, 1.0) for _ in places]
        self.frames = [patch(axes, style.Look("none"), 1.0, 1.1) for _ in places]
        self.amounts = [style.write(axes, 0.0, 0.0, size=0.9) for _ in places]
        (self.due_line,) = axes.plot([], [], "--", color=style.VERMILION, lw=1.5)
        self.due_name = style.write(axes, 0.0, 0.0, "full: clean", size=0.9, ha="center")
        self.water = style.write(axes, 0.0, 0.0, size=0.9)
        return [*self.bars, *self.amounts, self.water]

    def _strip(self, figure: Figure) -> list[Artist]:
        self.flow_scale = scale("L/h")
        axes = figure.add_axes((0.085, 0.105, 0.885, 0.195))
        style.dress(axes, "days since cleaning")
        axes.set_xlim(0.0, self.days)
        self.high = HIGHEST_FLOW * self.flow_scale
        axes.set_ylim(0.0, self.high)
        # No room beside the axes for the name of a unit in large text.
        name = f"flow, {label(display_unit('L/h'))}"
        style.write(axes, 0.012 * self.days, 0.9 * self.high, name, size=0.9)
        axes.locator_params(axis="y", nbins=3)
        self.late = patch(axes, style.CAUTION, 0.4, 0.5)
        (self.flow,) = axes.plot([], [], color=style.INK, lw=2.5)
        (self.due,) = axes.plot([], [], "--", color=style.VERMILION, lw=2)
        (self.today,) = axes.plot([], [], "o", ms=11, color=style.BLUE, mec="white", zorder=5)
        self.due_day = style.write(axes, 0.0, 0.2 * self.high, bbox=style.ON_PAPER)
        return [self.today]

    def _move_strip(self, result: Any) -> None:
        self.flow.set_data(result.days, result.flows * self.flow_scale)
        self.today.set_data([result.day], [result.flow * self.flow_scale])
        due = min(result.due, self.days)
        self.late.set_xy(rectangle(due, 0.0, self.days - due, self.high))
        self.due.set_data([due, due], [0.0, self.high])
        if math.isinf(result.due):
            self.due_day.set_text("no cleaning due yet")
        else:
            self.due_day.set_text(f"cleaning due: day {number(result.due, 2)}")
        right = due < 0.6 * self.days
        self.due_day.set_ha("left" if right else "right")
        self.due_day.set_position((due + (2.0 if right else -2.0), 0.2 * self.high))
