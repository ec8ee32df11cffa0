"""Lesson 05: the filter as it fills, the load of each stage, and the flow over the weeks."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale, scale_bar
from aqualib.lesson.drawing.filter_section import (
    MIDDLE,
    SHEET_HEIGHT,
    SHEET_WIDTH,
    WALL,
    FilterSection,
)
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array, patch, rectangle
from aqualib.lesson.drawing.words import Kept
from aqualib.units import display_unit, label, number, shown

BESIDE = 17.0
"""From the filter to its bars, in mm of the sheet."""
FULL_BAR = 56.0
"""Length of a bar at its limit, in mm of the sheet."""
LONGEST = 1.3
"""Bars are cut off at this many times the limit."""
HIGHEST_FLOW = 1400.0
"""L/h"""


@dataclass(frozen=True, slots=True)
class Stage:
    """What one place of the filter holds: grams, and shares of its room."""

    grade: str
    grams: float
    fullness: float
    """1 where it calls for cleaning."""
    face: float
    """Share of the room in the pad's working face that is full; in a settling space, of it all."""
    filled: tuple[float, ...]
    """Share of its room that is full in each layer, from the water's side."""


@dataclass(frozen=True, slots=True)
class Shape:
    """A filter and what it gets: lengths in mm, dry solids in g/day, and how fine they are."""

    width: float
    settling: float
    depth: float
    edges: tuple[float, ...]
    """Where the layers of a pad end, from the water's side."""
    production: float
    fines: str


@dataclass(frozen=True, slots=True)
class FilterDay:
    """A filter on one day: time in days, flow in L/h, suspended solids in mg/L, dirt in g."""

    stages: tuple[Stage, ...]
    """The settling space and the trays, from the bottom up."""
    shape: Shape
    day: float
    days: Array
    flows: Array
    """The flow on each of `days`."""
    flow: float
    suspended: float
    one_pass: float
    due: float
    cause: str
    caught_when_due: float

    @property
    def built(self) -> Hashable:
        """What is in the filter, and its sizes."""
        shape = self.shape
        grades = tuple(stage.grade for stage in self.stages)
        return grades, shape.width, shape.settling, shape.depth

    @property
    def stack(self) -> Hashable:
        """All that the half-year rests on, and the day does not change."""
        return self.built, self.shape.production, self.shape.fines

    @property
    def caught(self) -> float:
        """The dirt in the whole filter on the day, in g."""
        return sum(stage.grams for stage in self.stages)


class FillingFilter(Chart[FilterDay]):
    """The cross-section with a bar beside each stage, and a strip with the flow over time."""

    size = (7.2, 5.6)

    def __init__(self, trays: int, days: float) -> None:
        """Make a chart for so many trays and days."""
        self.trays, self.days = trays, days

    def build(self, figure: Figure, _: FilterDay) -> list[Artist]:
        """Draw headings and axes; return section, bars and the flow."""
        tall = self.size[0] * SHEET_HEIGHT / SHEET_WIDTH / self.size[1]
        axes = figure.add_axes((0.0, 1.0 - tall, 1.0, tall))
        style.bare(axes, SHEET_WIDTH, SHEET_HEIGHT)
        length, words = scale_bar(10.0, "cm")
        axes.plot([8.0, 8.0 + 10.0 * length], [8.0, 8.0], color=style.FAINT, lw=3)
        style.write(axes, 16.0 + 10.0 * length, 8.0, words, size=0.85, color=style.FAINT)
        self.section = FilterSection(axes, self.trays)
        bars, strip = self._bars(axes), self._strip(figure)
        still = [*self.section.kept, self.threads, *self.frames, self.due_line, self.due_name]
        # Sponge takes long to draw, so it is kept while only the dirt changes.
        self.sponge = Kept(figure, still)
        lines = [self.late, self.flow, self.due, self.due_day, self.flow_name]
        self.course = Kept(figure, lines)
        return [self.sponge, self.course, *self.section.moving, *bars, *strip]

    def update(self, today: FilterDay) -> None:
        """Fill the filter, stretch the bars, move along the flow."""
        self.sponge.key, self.course.key = today.built, today.stack
        shape = today.shape
        self.section.move(
            shape.width,
            shape.settling,
            shape.depth,
            [stage.grade for stage in today.stages],
            [stage.filled for stage in today.stages],
            shape.edges,
            today.flow,
        )
        self.left = MIDDLE + shape.width / 2.0 + WALL + BESIDE
        heights = [shape.settling, *[shape.depth] * self.trays]
        for at, (stage, height) in enumerate(zip(today.stages, heights, strict=True)):
            self._stretch(at, stage, self.section.floors[at], height)
        top = self.section.floors[-1] + heights[-1]
        self._join(shape.width, heights, [stage.grade != "empty" for stage in today.stages])
        self.due_line.set_data([self.left + FULL_BAR] * 2, [self.section.floors[0], top + 8.0])
        self.due_name.set_position((self.left + FULL_BAR, top + 18.0))
        self.water.set_position((self.left, top + 44.0))
        self.water.set_text(f"tank water: {number(today.suspended, 2)} mg/L")
        self._move_strip(today)

    def _bars(self, axes: Axes) -> list[Artist]:
        places = range(self.trays + 1)
        self.bars = [patch(axes, style.SOLIDS, 0.9, 1.0) for _ in places]
        self.frames = [patch(axes, style.Look("none"), 1.0, 1.1) for _ in places]
        self.amounts = [style.write(axes, 0.0, 0.0, size=0.85) for _ in places]
        (self.due_line,) = axes.plot([], [], "--", color=style.VERMILION, lw=1.5)
        self.due_name = style.write(axes, 0.0, 0.0, "time to clean", size=0.9, ha="center")
        (self.threads,) = axes.plot([], [], color=style.FAINT, lw=1)
        self.water = style.write(axes, 0.0, 0.0, size=0.9)
        return [*self.bars, *self.amounts, self.water]

    def _join(self, width: float, heights: list[float], there: list[bool]) -> None:
        """Join each place to its bar by a thread."""
        x: list[float] = []
        y: list[float] = []
        for floor, height, one in zip(self.section.floors, heights, there, strict=True):
            if one:
                x += [MIDDLE + width / 2.0 + WALL, self.left, math.nan]
                y += [floor + height / 2.0] * 2 + [math.nan]
        self.threads.set_data(x, y)

    def _stretch(self, at: int, stage: Stage, floor: float, height: float) -> None:
        """Draw the load of one place beside it, and the frame that is full at its limit."""
        tall, middle = min(0.55 * height, 20.0), floor + height / 2.0
        there = stage.grade != "empty"
        low = middle - tall / 2.0
        self.frames[at].set_xy(rectangle(self.left, low, there * FULL_BAR, tall))
        self.frames[at].set_visible(there)
        length = min(stage.fullness, LONGEST) * FULL_BAR
        self.bars[at].set_xy(rectangle(self.left, low, length, tall))
        self.bars[at].set_visible(there)
        self.amounts[at].set_position((self.left + LONGEST * FULL_BAR + 6.0, middle))
        self.amounts[at].set_text(shown(stage.grams, "g", 2) if there else "")

    def _strip(self, figure: Figure) -> list[Artist]:
        self.flow_scale = scale("L/h")
        axes = figure.add_axes((0.085, 0.105, 0.885, 0.195))
        style.dress(axes, "days since cleaning")
        axes.set_xlim(0.0, self.days)
        self.high = HIGHEST_FLOW * self.flow_scale
        axes.set_ylim(0.0, self.high)
        # No room beside the axes for the name of a unit in large text.
        name, place = f"flow, {label(display_unit('L/h'))}", (0.99 * self.days, 0.88 * self.high)
        self.flow_name = style.write(axes, *place, name, size=0.9, ha="right", bbox=style.ON_PAPER)
        axes.locator_params(axis="y", nbins=3)
        self.late = patch(axes, style.CAUTION, 0.4, 0.5)
        (self.flow,) = axes.plot([], [], color=style.INK, lw=2.5)
        (self.due,) = axes.plot([], [], "--", color=style.VERMILION, lw=2)
        (self.today,) = axes.plot([], [], "o", ms=11, color=style.BLUE, mec="white", zorder=5)
        self.due_day = style.write(axes, 0.0, 0.0, bbox=style.ON_PAPER)
        return [self.today]

    def _move_strip(self, today: FilterDay) -> None:
        self.flow.set_data(today.days, today.flows * self.flow_scale)
        self.today.set_data([today.day], [today.flow * self.flow_scale])
        due = min(today.due, self.days)
        self.late.set_xy(rectangle(due, 0.0, self.days - due, self.high))
        self.due.set_data([due, due], [0.0, self.high])
        if math.isinf(today.due):
            self.due_day.set_text("no cleaning due yet")
        else:
            self.due_day.set_text(f"cleaning due: day {number(today.due, 2)}")
        # Low, or high where the dot is low.
        height = 0.15 if today.flow > 0.4 * HIGHEST_FLOW else 0.62
        self.due_day.stand_beside(due, height * self.high, 2.0, right=due < 0.6 * self.days)
