"""The tank in cross-section and from above, to scale: what fills it, and what it weighs."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.figure import Figure
from matplotlib.patches import Polygon

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.shapes import patch, rectangle
from aqualib.units import shown

# the sheet, in centimetres of tank
SHEET_WIDTH, SHEET_HEIGHT = 295.0, 205.0
FLOOR = 112.0
MIDDLE = 112.0
GLASS = 1.2
WATER = style.Look(style.SKY_BLUE)
GRAVEL = style.Look(style.ORANGE, "-", "", "oo")
ROCK = style.Look("#999999", "-", "", "xx")


class Section:
    """The moving parts of a tank seen from the front: glass, water, gravel and rock."""

    def __init__(self, axes: Any, floor: float) -> None:
        """Make the parts on axes measured in centimetres, standing at height `floor`."""
        self.floor = floor
        self.water = patch(axes, WATER, 0.35, 1.0)
        self.gravel = patch(axes, GRAVEL, 0.6, 1.1)
        self.rock = patch(axes, ROCK, 0.9, 1.2)
        self.glass = patch(axes, style.Look("none"), 1.0, 1.3)
        self.glass.set(fill=False, edgecolor=style.GLASS, linewidth=2.0)
        self.length = style.write(axes, MIDDLE, floor - 8.0, ha="center")
        self.depth = style.write(axes, 0.0, floor, ha="right")
        self.artists: list[Artist] = [
            self.water, self.gravel, self.rock, self.glass, self.length, self.depth,
        ]  # fmt: skip

    def move(self, length: float, depth: float, gravel: float, rock_share: float) -> None:
        """Show a tank, all in cm; `rock_share` is the rock's share of the water column."""
        left = MIDDLE - length / 2.0
        self.water.set_xy(rectangle(left, self.floor, length, depth))
        self.gravel.set_xy(rectangle(left, self.floor, length, min(gravel, depth)))
        self.glass.set_xy(
            rectangle(left - GLASS, self.floor - GLASS, length + 2 * GLASS, depth + 8.0)
        )
        self.rock.set_xy(pile(left, self.floor + gravel, length, depth - gravel, rock_share))
        self.rock.set_visible(rock_share > 0.0)
        self.gravel.set_visible(gravel > 0.0)
        self.length.set_text(shown(length, "cm"))
        self.depth.set_text(shown(depth, "cm").replace(" (", "\n("))
        self.depth.set_position((left - 5.0, self.floor + depth / 2.0))


def pile(left: float, floor: float, length: float, height: float, share: float) -> Any:
    """Return a heap of rock as an outline whose area is `share` of length times height."""
    base = 0.8 * length
    x = np.array([0.0, 0.12, 0.3, 0.48, 0.62, 0.8, 1.0])
    y = np.array([0.0, 0.65, 0.55, 1.0, 0.7, 0.8, 0.0])
    area = float(np.sum((y[1:] + y[:-1]) * np.diff(x)) / 2.0)
    top = share * length * max(height, 0.0) / (area * base)
    return np.column_stack([left + 0.1 * length + x * base, floor + y * top])


def plan(shape: str, length: float, width: float, bow: float) -> Any:
    """Return the tank's outline from above, centred on (0, 0), front at the bottom; cm."""
    if shape == "cylinder":
        turn = np.linspace(0.0, 2.0 * np.pi, 61)
        return length / 2.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    if shape == "hexagon":
        turn = np.linspace(0.0, 2.0 * np.pi, 7)
        return length / 2.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    outline = rectangle(-length / 2.0, -width / 2.0, length, width)
    if shape == "box":
        return outline
    radius = (length**2 / 4.0 + bow**2) / (2.0 * bow)
    x = np.linspace(-length / 2.0, length / 2.0, 31)
    y = -width / 2.0 + (radius - bow) - np.sqrt(radius**2 - x**2)
    return np.concatenate([np.column_stack([x, y]), outline[2:]])


def sheet(figure: Figure, height: float) -> Any:
    """Return axes measured in centimetres of tank, `height` of them high, with a scale bar."""
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    style.bare(axes, SHEET_WIDTH, height)
    axes.plot([6.0, 56.0], [8.0, 8.0], color=style.FAINT, lw=3)
    style.write(axes, 60.0, 8.0, shown(50.0, "cm"), size=0.85, color=style.FAINT)
    return axes


class WaterVolume:
    """Lesson 01: what is in the tank, and how much of it is water."""

    size = (7.2, 5.0)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw headings; return the section, the plan and the sum."""
        axes = sheet(figure, SHEET_HEIGHT)
        style.write(axes, 8.0, 198.0, "from the front", color=style.FAINT)
        style.write(axes, 8.0, 88.0, "from above", color=style.FAINT)
        heights = [170.0, 146.0, 122.0, 92.0]
        for name, y in zip(("full to the line", "less gravel", "less rock"), heights, strict=False):
            style.write(axes, 290.0, y, name, ha="right", color=style.FAINT)
        style.write(axes, 290.0, heights[-1], "water", ha="right", weight="bold")
        axes.plot([215.0, 290.0], [101.0, 101.0], color=style.INK, lw=1)
        self.section = Section(axes, FLOOR)
        self.plan = patch(axes, WATER, 0.35)
        weights = ("normal", "normal", "normal", "bold")
        self.sums = [
            style.write(axes, 290.0, y - 9.0, ha="right", weight=weight)
            for y, weight in zip(heights, weights, strict=True)
        ]
        return [*self.section.artists, self.plan, *self.sums]

    def update(self, result: Any) -> None:
        """Move the tank and write the sum."""
        column = max(result.depth - result.gravel_depth, 1e-9) / result.depth * result.gross
        share = min(result.rock / column, 0.75)
        self.section.move(result.length, result.depth, result.gravel_depth, share)
        outline = plan(result.shape, result.length, result.width, result.bow)
        self.plan.set_xy(outline + np.array([MIDDLE, 50.0]))
        amounts = [result.gross, -result.gravel, -result.rock, result.water]
        for text, litres in zip(self.sums, amounts, strict=True):
            text.set_text(shown(litres, "L").replace("-", "−"))


class TankWeight:
    """Lesson 00: a tank to scale and what its water weighs on the floor."""

    size = (7.0, 3.7)

    def frame(self, result: Any) -> Hashable:  # noqa: ARG002 - nothing still depends on it
        """Return nothing that changes."""
        return None

    def build(self, figure: Figure, result: Any) -> list[Artist]:  # noqa: ARG002
        """Draw the floor and headings; return tank, arrow and numbers."""
        axes = sheet(figure, 156.0)
        axes.plot([5.0, 205.0], [58.0] * 2, color=style.INK, lw=2)
        style.write(axes, 5.0, 51.0, "floor", color=style.FAINT)
        heights = (140.0, 98.0, 56.0)
        for y, name in zip(heights, ("water", "weight of the water", "on the floor"), strict=True):
            style.write(axes, 215.0, y, name, color=style.FAINT)
        self.section = Section(axes, 74.0)
        self.arrow = Polygon(
            np.zeros((7, 2)), closed=True, facecolor=style.VERMILION, edgecolor=style.INK, zorder=2
        )
        axes.add_patch(self.arrow)
        self.numbers = [style.write(axes, 215.0, y - 5.0, weight="bold", va="top") for y in heights]
        return [*self.section.artists, self.arrow, *self.numbers]

    def update(self, result: Any) -> None:
        """Move tank and arrow, write the numbers."""
        self.section.move(result.length, result.depth, 0.0, 0.0)
        self.arrow.set_xy(_arrow(MIDDLE, 57.0, 0.05 * result.mass))
        amounts = [(result.litres, "L"), (result.mass, "kg"), (result.floor_load, "kg/m**2")]
        for text, (amount, unit) in zip(self.numbers, amounts, strict=True):
            text.set_text(shown(amount, unit).replace(" (", "\n("))


def _arrow(x: float, top: float, length: float) -> Any:
    """Return an arrow pointing down, its length as the weight."""
    length = min(max(length, 8.0), top - 14.0)
    tip = top - length
    neck = tip + min(10.0, 0.6 * length)
    across = [x - 4.0, x + 4.0, x + 4.0, x + 9.0, x, x - 9.0, x - 4.0]
    down = [top, top, neck, neck, tip, neck, neck]
    return np.column_stack([across, down])
