"""Lesson 07: a filter to scale, and the food each of its parts can carry, side by side."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts.tank_and_filter import TankAndFilter
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingAxis, Whiskers
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import number, shown

LEFT = 0.40
"""Share of the picture that the drawing takes."""
BAR = 0.3
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


class WhatItCarries:
    """Tank and filter at the left; four bars, a line for the food and the limit at the right."""

    size = (7.4, 4.6)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw the axis; return the drawing, the bars, their words and the line."""
        high = self.size[1] / (LEFT * self.size[0])
        sheet = figure.add_axes((0.0, 0.0, LEFT, 1.0))
        style.bare(sheet, 1.0, high)
        self.section = TankAndFilter(sheet, high)
        axes = figure.add_axes((LEFT + 0.02, 0.125, 0.94 - LEFT, 0.855))
        self.axis = GrowingAxis(axes, "food a day it can carry", "g/day", 4.75)
        return [*self.section.artists, *self._bars(axes), *self._words(axes), *self.axis.words]

    def _bars(self, axes: Any) -> list[Artist]:
        self.blocks = {part: patch(axes, look, 0.75, 1.0) for part, look in BARS.items()}
        self.mark = patch(axes, style.Look("none", "-", "", "xx"), 1.0, 1.2)
        self.mark.set(linewidth=2.2)
        (self.food,) = axes.plot([], [], "--", color=style.FOOD.colour, lw=2.2)
        self.doubt = Whiskers(axes)
        self.whiskers, self.beyond = self.doubt.line, self.doubt.beyond
        return [*self.blocks.values(), self.mark, self.food, self.whiskers, self.beyond]

    def _words(self, axes: Any) -> list[Artist]:
        beside: dict[str, Any] = {"ha": "right", "bbox": style.ON_PAPER}
        self.names = {part: style.write(axes, 0.0, 0.0, bbox=style.ON_PAPER) for part in BARS}
        self.bold = style.write(axes, 0.0, 0.0, weight="bold", bbox=style.ON_PAPER)
        self.numbers = {part: style.write(axes, 1.0, 0.0, size=0.9, **beside) for part in BARS}
        self.tag = style.write(axes, 0.0, 0.0, "limits", weight="bold", bbox=style.ON_PAPER)
        self.food_name = style.write(axes, 0.0, 4.4, size=0.9)
        names = [*self.names.values(), self.bold, *self.numbers.values()]
        return [*names, self.tag, self.food_name]

    def update(self, result: Any) -> None:
        """Move tank, filter, bars, whiskers and words."""
        self.section.move(result)
        self.axis.grow(ROOM * max(result.feed, result.parts[result.smallest].high))
        spans: list[tuple[float, float, float]] = []
        beyond: list[float] = []
        for part, block in self.blocks.items():
            span, floor = result.parts[part], FLOORS[part]
            low, best, high = map(self.axis.place, span)
            middle = floor + 0.5 * BAR
            block.set_xy(rectangle(0.0, floor, best, BAR))
            spans.append((low, high, middle))
            if self.axis.is_beyond(span.high):
                beyond.append(middle)
            if part == result.smallest:
                self.mark.set_xy(rectangle(0.0, floor, best, BAR))
                self.tag.set_position((high + 0.015, middle))
            self._name(result, part, floor + BAR + 0.22)
        self.doubt.show(spans, 0.3 * BAR, beyond, 1.0)
        self._mark_food(result)

    def _name(self, result: Any, part: str, up: float) -> None:
        limits = part == result.smallest
        self.names[part].set_visible(not limits)
        name = self.bold if limits else self.names[part]
        name.set_text(result.names[part])
        name.set_position((0.0, up))
        span = result.parts[part]
        text = shown(span.best, "g/day", 2)
        if limits and self.axis.scale == 1.0 and style.get_text_size() == "page":
            text = f"{text} ({number(span.low, 2)} to {number(span.high, 2)})"
        self.numbers[part].set_text(text)
        self.numbers[part].set_position((1.0, up))

    def _mark_food(self, result: Any) -> None:
        at = self.axis.place(result.feed)
        self.food.set_data([at, at], [0.0, 4.05])
        self.food_name.set_text(f"given now, {result.verdict}:\n{shown(result.feed, 'g/day', 2)}")
        self.food_name.set_ha("left" if at < 0.5 else "right")
        self.food_name.set_x(at)
