"""Lesson 07: a filter to scale, and the food each of its parts can carry, side by side."""

from __future__ import annotations

import math
from dataclasses import dataclass

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.draws import Span
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import AmountAxis, Bars
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import patch
from aqualib.lesson.drawing.tank_and_filter import Equipment, TankAndFilter
from aqualib.units import display_unit, label, number, shown

LEFT = 0.40
"""Share of the picture that the drawing takes."""
BAR = 0.3
OVER = 0.07
"""How far the line of the food reaches over and under each bar."""
ROOM = 1.25
"""End of the axis over the largest number that must stand on it."""

# part -> its look; the order is that of the bars, from the top
BARS = {
    "surface": style.AMMONIA,
    "filter_oxygen": style.OXYGEN,
    "tank_oxygen": style.OXYGEN,
    "dirt": style.SOLIDS,
}
FLOORS = dict(zip(BARS, (3.23, 2.18, 1.13, 0.08), strict=True))


@dataclass(frozen=True, slots=True)
class Carrying:
    """What a filter carries: food in g/day, stock in kg, one fish in g."""

    equipment: Equipment
    body: float
    pads: float
    """Surface of the pads, in m²."""
    feed: float
    parts: dict[str, Span]
    """The food that each part carries."""
    names: dict[str, str]
    carried: Span
    stock: Span
    limiting: str
    smallest: str
    """The part whose bar is the shortest: the surface stands also for the flow past it."""
    warning: str
    """What is said of the ammonia that may remain, where it harms over weeks."""

    @property
    def verdict(self) -> str:
        """Whether the food given now is carried, for all that is uncertain."""
        if self.feed <= self.carried.low:
            return "carried"
        return "in doubt" if self.feed <= self.carried.high else "too much"


class WhatItCarries(Chart[Carrying]):
    """Tank and filter at the left; four bars, a line for the food and the limit at the right."""

    size = (7.4, 4.6)

    def build(self, figure: Figure, _: Carrying) -> list[Artist]:
        """Draw the axis; return the drawing, the bars, their words and the line."""
        high = self.size[1] / (LEFT * self.size[0])
        sheet = figure.add_axes((0.0, 0.0, LEFT, 1.0))
        style.bare(sheet, 1.0, high)
        self.section = TankAndFilter(sheet, high)
        axes = figure.add_axes((LEFT + 0.02, 0.125, 0.94 - LEFT, 0.855))
        self.axis = AmountAxis(axes, "food a day it can carry", "g/day", 4.75)
        words = [*self._words(axes), *self.axis.numbers.marks]
        return [*self.section.artists, *self._bars(axes), *words]

    def _bars(self, axes: Axes) -> list[Artist]:
        self.bars = Bars(axes, BARS, FLOORS, BAR)
        self.mark = patch(axes, style.Look("none", "-", "", "xx"), 1.0, 1.2)
        self.mark.set(linewidth=2.2)
        (self.food,) = axes.plot([], [], "--", color=style.INK, lw=2.2)
        over = [self.mark, self.food, self.bars.whiskers, self.bars.beyond]
        return [*self.bars.blocks.values(), *over]

    def _words(self, axes: Axes) -> list[Artist]:
        self.names = {part: style.write(axes, 0.0, 0.0) for part in BARS}
        self.bold = style.write(axes, 0.0, 0.0, weight="bold")
        self.numbers = {part: style.write(axes, 1.0, 0.0, size=0.9, ha="right") for part in BARS}
        self.food_name = style.write(axes, 0.0, 4.4, size=0.9)
        return [*self.names.values(), self.bold, *self.numbers.values(), self.food_name]

    def update(self, carrying: Carrying) -> None:
        """Move tank, filter, bars, whiskers and words."""
        self.section.move(carrying.equipment)
        self.axis.grow(ROOM * max(carrying.feed, carrying.carried.high))
        # The part that limits speaks for the filter: one doubt, that of what the filter carries.
        self.bars.show(self.axis, {**carrying.parts, carrying.smallest: carrying.carried})
        self.mark.set_xy(self.bars.blocks[carrying.smallest].get_xy())
        for part, floor in FLOORS.items():
            self._name(carrying, part, floor + BAR + 0.22)
        self._mark_food(carrying)

    def _name(self, carrying: Carrying, part: str, up: float) -> None:
        limits = part == carrying.smallest
        self.names[part].set_visible(not limits)
        name = self.bold if limits else self.names[part]
        name.set_text(f"{carrying.names[part]}: limits" if limits else carrying.names[part])
        name.set_position((0.0, up))
        best = number(carrying.parts[part].best * self.axis.scale, 2)
        self.numbers[part].set_text(f"{best} {label(display_unit('g/day'))}")
        self.numbers[part].set_position((1.0, up))

    def _mark_food(self, carrying: Carrying) -> None:
        """Draw the food across each bar, and not through the names between them."""
        at = self.axis.place(carrying.feed)
        ends = [(floor - OVER, floor + BAR + OVER) for floor in FLOORS.values()]
        heights = [y for low, high in ends for y in (low, high, math.nan)]
        self.food.set_data([at] * len(heights), heights)
        self.food_name.set_text(
            f"given now: {carrying.verdict}\n{shown(carrying.feed, 'g/day', 2)}"
        )
        self.food_name.set_ha("left" if at < 0.5 else "right")
        self.food_name.set_x(at)
