"""Lesson 07: the media that fish need, fresh and marine, beside their tank and to its scale."""

from __future__ import annotations

import math
from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.charts.tank_and_filter import MEDIA, water_sides
from aqualib.lesson.charts.tank_section import WATER
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import GrowingAxis, Whiskers
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import shown

SHEETS = (110.0, 160.0, 225.0, 320.0, 450.0, 900.0, 1800.0)
"""Widths in cm that the sheet may stand for."""
DRAWING = 0.59
"""Share of the picture's height that the drawing takes."""
FLOOR = 0.05
HIGHEST = 0.245
"""Height that tank and heaps may take, over the width of the sheet."""
LINE = 0.027
SLOT = 0.17
"""Least width of the place of a heap and its name, over the width of the sheet."""
GAP = 8.0
ROOM = 1.1
BAR = 0.36
FLOORS = {"fresh": 1.12, "marine": 0.1}
LOOKS = {"fresh": style.Look(style.ORANGE), "marine": style.Look(style.ORANGE, "-", "", "xx")}
SIDES = ("low", "best", "high")


def side(litres: float) -> float:
    """Return width and height in cm of a round heap of media as wide as high; none if endless."""
    return (4000.0 * litres / math.pi) ** (1.0 / 3.0) if math.isfinite(litres) else 0.0


def sheet_width(length: float, depth: float, heaps: dict[str, list[float]]) -> float:
    """Return the width in cm of the first sheet on which tank and heaps find room."""
    highest = max(depth + 5.0, *(max(sides) for sides in heaps.values()))
    for wide in SHEETS:
        slots = sum(max(*sides, SLOT * wide) for sides in heaps.values())
        if length + slots + 5.0 * GAP <= wide and highest <= HIGHEST * wide:
            return wide
    return SHEETS[-1]


class MediaNeeded:
    """Tank and two heaps of media on one floor; below, a bar of kilograms for each water."""

    size = (7.4, 4.9)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw the floor; return the tank, the heaps, the bars and their words."""
        high = DRAWING * self.size[1] / self.size[0]
        sheet = figure.add_axes((0.0, 1.0 - DRAWING, 1.0, DRAWING))
        style.bare(sheet, 1.0, high)
        sheet.plot([0.02, 0.98], [FLOOR] * 2, color=style.INK, lw=1.2)
        return [*self._drawing(sheet), *self._bars(figure)]

    def _drawing(self, sheet: Any) -> list[Artist]:
        self.water = patch(sheet, WATER, 0.35, 1.0)
        self.glass = patch(sheet, style.Look("none"), 1.0, 1.3)
        self.glass.set(fill=False, edgecolor=style.GLASS, linewidth=2.0)
        self.heaps = {water: patch(sheet, MEDIA, 1.0, 1.1) for water in FLOORS}
        self.outlines = {}
        for water in FLOORS:
            for end, dash in (("low", ":"), ("high", "--")):
                (line,) = sheet.plot([], [], dash, color=style.INK, lw=1.4)
                self.outlines[water, end] = line
        over: dict[str, Any] = {"ha": "center", "va": "bottom", "bbox": style.ON_PAPER}
        # Each line by itself: setting type is dear, and mostly one of them changes.
        self.names = {water: style.write(sheet, 0.0, 0.0, water, **over) for water in FLOORS}
        self.litres = {water: style.write(sheet, 0.0, 0.0, **over) for water in FLOORS}
        style.write(
            sheet,
            0.98,
            0.018,
            "dashed: high end · dotted: low end",
            size=0.85,
            color=style.FAINT,
            ha="right",
        )
        self.tank, self.fish = (style.write(sheet, 0.0, 0.0, **over) for _ in range(2))
        (self.bar,) = sheet.plot([], [], "-", color=style.FAINT, lw=3)
        self.bar_name = style.write(sheet, 0.0, 0.018, size=0.85, color=style.FAINT)
        return [
            self.water, self.glass, *self.heaps.values(), *self.outlines.values(),
            *self.names.values(), *self.litres.values(), self.tank, self.fish,
            self.bar, self.bar_name,
        ]  # fmt: skip

    def _bars(self, figure: Figure) -> list[Artist]:
        axes = figure.add_axes((0.03, 0.12, 0.93, 0.275))
        self.axis = GrowingAxis(axes, "media needed", "kg", 2.1)
        self.blocks = {water: patch(axes, look, 0.75, 1.0) for water, look in LOOKS.items()}
        self.doubt = Whiskers(axes)
        self.whiskers, self.beyond = self.doubt.line, self.doubt.beyond
        self.words = {}
        for water, floor in FLOORS.items():
            up = floor + BAR + 0.25
            style.write(axes, 0.0, up, water)
            self.words[water] = style.write(axes, 0.1, up)
        lines = [self.whiskers, self.beyond]
        return [*self.blocks.values(), *lines, *self.words.values(), *self.axis.words]

    def update(self, result: Any) -> None:
        """Move the tank, the heaps and the bars."""
        self._draw(result)
        ends = [end for needed in result.needed.values() for end in needed.mass]
        self.axis.grow(ROOM * max(end for end in (*ends, 0.0) if math.isfinite(end)))
        spans: list[tuple[float, float, float]] = []
        beyond: list[float] = []
        for water, block in self.blocks.items():
            mass, floor = result.needed[water].mass, FLOORS[water]
            low, best, high = map(self.axis.place, mass)
            block.set_xy(rectangle(0.0, floor, best, BAR))
            spans.append((low, high, floor + 0.5 * BAR))
            if self.axis.is_beyond(mass.high):
                beyond.append(floor + 0.5 * BAR)
            self.words[water].set_text(said_best(mass.best))
        self.doubt.show(spans, 0.3 * BAR, beyond, 1.0)

    def _draw(self, result: Any) -> None:
        length, depth = water_sides(result.volume)
        heaps = {
            water: [side(litres) for litres in needed.volume]
            for water, needed in result.needed.items()
        }
        wide = sheet_width(length, depth, heaps)
        cm = 1.0 / wide
        self._show_tank(result, length * cm, depth * cm, cm)
        left = (length + 3.0 * GAP) * cm
        for water, sides in heaps.items():
            width = max(max(sides) * cm, SLOT)
            self._show_heap(water, left + width / 2.0, [one * cm for one in sides], result)
            left += width + GAP * cm
        bar = 10.0 if wide < SHEETS[2] else 50.0
        self.bar.set_data([0.02, 0.02 + bar * cm], [0.018] * 2)
        self.bar_name.set_text(shown(bar, "cm"))
        self.bar_name.set_position((0.035 + bar * cm, 0.018))

    def _show_tank(self, result: Any, length: float, depth: float, cm: float) -> None:
        left = GAP * cm
        self.water.set_xy(rectangle(left, FLOOR, length, depth))
        self.glass.set_xy(rectangle(left, FLOOR, length, depth + 5.0 * cm))
        self.fish.set_text(f"{shown(result.stock, 'kg', 2)} of fish")
        self.tank.set_text(f"in {shown(result.volume, 'L')}")
        middle, up = max(left + length / 2.0, 0.16), FLOOR + depth + 7.0 * cm
        self.tank.set_position((middle, up))
        self.fish.set_position((middle, up + line()))

    def _show_heap(self, water: str, middle: float, sides: list[float], result: Any) -> None:
        low, best, high = sides
        self.heaps[water].set_xy(rectangle(middle - best / 2.0, FLOOR, best, best))
        for end, one in (("low", low), ("high", high)):
            box = rectangle(middle - one / 2.0, FLOOR, one, one)
            self.outlines[water, end].set_data(*np.vstack([box, box[:1]]).T)
        litres = result.needed[water].volume.best
        text = shown(litres, "L", 2) if math.isfinite(litres) else "no end"
        text = text.replace(" (", "\n(")
        self.litres[water].set_text(text)
        # A heap may be higher than the sheet; its name stays on it.
        up = FLOOR + min(max(sides), HIGHEST) + 0.012
        self.litres[water].set_position((middle, up))
        self.names[water].set_position((middle, up + (1 + text.count("\n")) * line()))


def line() -> float:
    """Return the height of a line of text over the width of the sheet."""
    return LINE * style.points() / style.POINTS


def said_best(mass: float) -> str:
    """Return kilograms in words, or that no amount would do."""
    return shown(mass, "kg", 2) if math.isfinite(mass) else "no amount at this flow"
