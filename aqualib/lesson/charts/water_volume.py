"""Lesson 01: what is in a tank, to scale, and how much of it is water."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Chart
from aqualib.lesson.drawing.shapes import patch
from aqualib.lesson.drawing.tank_section import (
    MIDDLE,
    ROCK,
    TankSection,
    heap_from_above,
    plan,
    sheet,
)
from aqualib.parameters import parameter
from aqualib.tank.volume import true_water_volume
from aqualib.units import shown

SHEET_HEIGHT, FLOOR = 205.0, 112.0
RIGHT = 290.0
LINES = {
    "full to the line": (170.0, style.FAINT),
    "less gravel": (146.0, style.FAINT),
    "less rock": (122.0, style.FAINT),
    "water": (92.0, style.INK),
}
"""The sum at the right: each line's height and colour; the last is set in bold."""


@dataclass(frozen=True, slots=True)
class FilledTank:
    """What fills a tank: sides in cm, volumes in L."""

    shape: str
    length: float
    width: float
    depth: float
    bow: float
    gravel_depth: float
    gross: float
    gravel: float
    rock: float
    """What the rock displaces; its pores are full of water."""
    heap: float
    """What the heap of rock fills, pores included."""

    @property
    def water(self) -> float:
        """The water that is really there, in L."""
        return float(true_water_volume.bare(self.gross, self.gravel + self.rock))

    @property
    def rock_share(self) -> float:
        """The heap's share of the room above the gravel, as far as rock can fill it."""
        column = max(self.depth - self.gravel_depth, 1e-9) / self.depth * self.gross
        return min(self.heap / column, parameter("most_rock_share").value)


class WaterVolume(Chart[FilledTank]):
    """The tank from the front and from above, and a sum."""

    size = (7.2, 5.0)

    def build(self, figure: Figure, _: FilledTank) -> list[Artist]:
        """Draw headings; return the section, the plan and the sum."""
        axes = sheet(figure, SHEET_HEIGHT)
        style.write(axes, 8.0, 198.0, "from the front", color=style.FAINT)
        style.write(axes, 8.0, 88.0, "from above", color=style.FAINT)
        weights = dict.fromkeys(LINES, "normal") | {"water": "bold"}
        for name, (y, colour) in LINES.items():
            style.write(axes, RIGHT, y, name, ha="right", color=colour, weight=weights[name])
        axes.plot([215.0, RIGHT], [101.0, 101.0], color=style.INK, lw=1)
        self.section = TankSection(axes, FLOOR)
        self.plan = patch(axes, style.WATER, 0.35)
        self.rock = patch(axes, ROCK, 0.9, 1.1)
        self.sums = [
            style.write(axes, RIGHT, y - 9.0, ha="right", weight=weights[name])
            for name, (y, _) in LINES.items()
        ]
        return [*self.section.artists, self.plan, self.rock, *self.sums]

    def update(self, tank: FilledTank) -> None:
        """Move the tank and write the sum."""
        self.section.move(tank.length, tank.depth, tank.gravel_depth, tank.rock_share)
        outline = plan(tank.shape, tank.length, tank.width, tank.bow)
        self.plan.set_xy(outline + np.array([MIDDLE, 50.0]))
        wide, across = np.ptp(outline, axis=0)
        rock = heap_from_above(float(wide), float(across), tank.rock_share)
        self.rock.set_xy(
            rock + np.array([MIDDLE, 50.0 + 0.5 * (outline.min(axis=0) + outline.max(axis=0))[1]])
        )
        self.rock.set_visible(tank.rock_share > 0.0)
        amounts = [tank.gross, -tank.gravel, -tank.rock, tank.water]
        for text, litres in zip(self.sums, amounts, strict=True):
            text.set_text(shown(litres, "L").replace("-", "−"))
