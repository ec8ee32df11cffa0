"""Lesson 00: a tank to scale, and what its water weighs on the floor."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.drawing.tank_section import MIDDLE, TankSection, sheet
from aqualib.units import shown

SHEET_HEIGHT = 156.0
UNDER, LOWEST = 57.0, 14.0
"""Where the arrow begins, and how far down it may go, in cm on the sheet."""
LENGTH_PER_KILOGRAM, SHORTEST = 0.05, 8.0
"""Of the arrow, in cm on the sheet."""


@dataclass(frozen=True, slots=True)
class Weight:
    """A tank's water: sides in cm, volume in L, mass in kg, floor load in kg/m2."""

    length: float
    depth: float
    litres: float
    mass: float
    floor_load: float


class TankWeight(Chart[Weight]):
    """The tank on its floor, an arrow as long as the water is heavy, and three numbers."""

    size = (7.0, 3.7)

    def build(self, figure: Figure, _: Weight) -> list[Artist]:
        """Draw the floor and headings; return tank, arrow and numbers."""
        axes = sheet(figure, SHEET_HEIGHT)
        axes.plot([5.0, 205.0], [58.0] * 2, color=style.INK, lw=2)
        style.write(axes, 5.0, 51.0, "floor", color=style.FAINT)
        heights = (140.0, 98.0, 56.0)
        for y, name in zip(heights, ("water", "weight of the water", "on the floor"), strict=True):
            style.write(axes, 215.0, y, name, color=style.FAINT)
        self.section = TankSection(axes, 74.0)
        self.arrow = Polygon(
            np.zeros((7, 2)), closed=True, facecolor=style.VERMILION, edgecolor=style.INK, zorder=2
        )
        axes.add_patch(self.arrow)
        self.numbers = [style.write(axes, 215.0, y - 5.0, weight="bold", va="top") for y in heights]
        return [*self.section.artists, self.arrow, *self.numbers]

    def update(self, weight: Weight) -> None:
        """Move tank and arrow, write the numbers."""
        self.section.move(weight.length, weight.depth, 0.0, 0.0)
        self.arrow.set_xy(arrow_down(MIDDLE, UNDER, LENGTH_PER_KILOGRAM * weight.mass))
        amounts = [(weight.litres, "L"), (weight.mass, "kg"), (weight.floor_load, "kg/m**2")]
        for text, (amount, unit) in zip(self.numbers, amounts, strict=True):
            text.set_text(shown(amount, unit).replace(" (", "\n("))


def arrow_down(x: float, top: float, length: float) -> Array:
    """Return the outline of an arrow down from a place, as long as there is room for."""
    length = min(max(length, SHORTEST), top - LOWEST)
    tip = top - length
    neck = tip + min(10.0, 0.6 * length)
    across = [x - 4.0, x + 4.0, x + 4.0, x + 9.0, x, x - 9.0, x - 4.0]
    down = [top, top, neck, neck, tip, neck, neck]
    return np.column_stack([across, down])
