"""Lesson 07: the media that fish need, fresh and marine, beside their tank and to its scale."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import AmountAxis, Bars, scale, scale_bar
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import patch, rectangle, wall
from aqualib.lesson.drawing.tank_and_filter import MEDIA
from aqualib.lesson.drawing.tank_section import round_width, usual_sides
from aqualib.tank.sizing import MediaNeeded
from aqualib.units import display_unit, label, number, shown

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


@dataclass(frozen=True, slots=True)
class Needing:
    """What fish need: stock and media in kg, feed in g/day, volumes in L."""

    stock: float
    ammonia: float
    volume: float
    flow: float
    rock: float
    pads: float
    """Surface of the filter's pads, in m²."""
    feed: float
    needed: dict[str, MediaNeeded]
    warning: str
    """What is said of the ammonia that may remain, where it harms over weeks."""


def side(litres: float) -> float:
    """Return width and height in cm of a round heap of media as wide as high; none if endless."""
    return round_width(litres) if math.isfinite(litres) else 0.0


def sheet_width(length: float, depth: float, heaps: Mapping[str, Sequence[float]]) -> float:
    """Return the width in cm of the first sheet on which tank and heaps find room."""
    highest = max(depth + 5.0, *(max(sides) for sides in heaps.values()))
    for wide in SHEETS:
        slots = sum(max(*sides, SLOT * wide) for sides in heaps.values())
        if length + slots + 5.0 * GAP <= wide and highest <= HIGHEST * wide:
            return wide
    return SHEETS[-1]


class HeapsOfMedia(Chart[Needing]):
    """Tank and two heaps of media on one floor; below, a bar of kilograms for each water."""

    size = (7.4, 4.9)

    def build(self, figure: Figure, _: Needing) -> list[Artist]:
        """Draw the floor; return the tank, the heaps, the bars and their words."""
        high = DRAWING * self.size[1] / self.size[0]
        sheet = figure.add_axes((0.0, 1.0 - DRAWING, 1.0, DRAWING))
        style.bare(sheet, 1.0, high)
        sheet.plot([0.02, 0.98], [FLOOR] * 2, color=style.INK, lw=1.2)
        return [*self._drawing(sheet), *self._bars(figure)]

    def _drawing(self, sheet: Axes) -> list[Artist]:
        self.water = patch(sheet, style.WATER, 0.35, 1.0)
        self.glass = wall(sheet)
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
        key = "dashed: high end · dotted: low end"
        style.write(sheet, 0.98, 0.018, key, size=0.85, color=style.FAINT, ha="right")
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
        self.axis = AmountAxis(axes, "media needed", "kg", 2.1)
        self.bars = Bars(axes, LOOKS, FLOORS, BAR)
        self.words = {}
        for water, floor in FLOORS.items():
            up = floor + BAR + 0.25
            style.write(axes, 0.0, up, water)
            self.words[water] = style.write(axes, 0.1, up)
        words = [*self.words.values(), *self.axis.numbers.marks]
        return [*self.bars.artists, *words]

    def update(self, needing: Needing) -> None:
        """Move the tank, the heaps and the bars."""
        self._draw(needing)
        ends = [end for needed in needing.needed.values() for end in needed.mass]
        self.axis.grow(ROOM * max(end for end in (*ends, 0.0) if math.isfinite(end)))
        self.bars.show(self.axis, {water: one.mass for water, one in needing.needed.items()})
        for water, words in self.words.items():
            words.set_text(said_best(needing.needed[water].mass.best))

    def _draw(self, needing: Needing) -> None:
        length, depth = usual_sides(needing.volume)
        heaps = {
            water: [side(litres) for litres in needed.volume]
            for water, needed in needing.needed.items()
        }
        wide = sheet_width(length, depth, heaps)
        cm = 1.0 / wide
        self._show_tank(needing, length * cm, depth * cm, cm)
        left = (length + 3.0 * GAP) * cm
        for water, sides in heaps.items():
            width = max(max(sides) * cm, SLOT)
            self._show_heap(water, left + width / 2.0, [one * cm for one in sides], needing)
            left += width + GAP * cm
        bar, words = scale_bar(10.0 if wide < SHEETS[2] else 50.0, "cm")
        self.bar.set_data([0.02, 0.02 + bar * cm], [0.018] * 2)
        self.bar_name.set_text(words)
        self.bar_name.set_position((0.035 + bar * cm, 0.018))

    def _show_tank(self, needing: Needing, length: float, depth: float, cm: float) -> None:
        left = GAP * cm
        self.water.set_xy(rectangle(left, FLOOR, length, depth))
        self.glass.set_xy(rectangle(left, FLOOR, length, depth + 5.0 * cm))
        self.fish.set_text(f"{shown(needing.stock, 'kg', 2)} of fish")
        self.tank.set_text(
            f"in {number(needing.volume * scale('L'), 2)} {label(display_unit('L'))}"
        )
        middle, up = max(left + length / 2.0, 0.16), FLOOR + depth + 7.0 * cm
        self.tank.set_position((middle, up))
        self.fish.set_position((middle, up + text_line()))

    def _show_heap(self, water: str, middle: float, sides: list[float], needing: Needing) -> None:
        low, best, high = sides
        self.heaps[water].set_xy(rectangle(middle - best / 2.0, FLOOR, best, best))
        for end, one in (("low", low), ("high", high)):
            box = rectangle(middle - one / 2.0, FLOOR, one, one)
            self.outlines[water, end].set_data(*np.vstack([box, box[:1]]).T)
        litres = needing.needed[water].volume.best
        text = shown(litres, "L", 2) if math.isfinite(litres) else "no end"
        text = text.replace(" (", "\n(")
        self.litres[water].set_text(text)
        # A heap may be higher than the sheet; its name stays on it.
        up = FLOOR + min(max(sides), HIGHEST) + 0.012
        self.litres[water].set_position((middle, up))
        self.names[water].set_position((middle, up + (1 + text.count("\n")) * text_line()))


def text_line() -> float:
    """Return the height of a line of text over the width of the sheet."""
    return LINE * style.text_scale()


def said_best(mass: float) -> str:
    """Return kilograms in words, or that no amount would do."""
    return shown(mass, "kg", 2) if math.isfinite(mass) else "no amount at this flow"
