"""A tank in cross-section and from above, to scale in centimetres, with its gravel and rock."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import scale_bar
from aqualib.lesson.drawing.shapes import Array, patch, rectangle, wall
from aqualib.parameters import parameter
from aqualib.units import shown

# the sheet, in centimetres of tank
SHEET_WIDTH = 295.0
MIDDLE = 112.0
GLASS = 1.2
ROOM = 45.0
"""From the edge of the sheet to the tank, so that a word stands between them."""
CUBIC_CM = 1000.0
"""In a litre."""
ABOVE_WATER = 8.0
"""Height of the drawn glass over the water, with the thickness of its bottom."""
GRAVEL = style.Look(style.ORANGE, "-", "", "oo")
ROCK = style.Look("#999999", "-", "", "xx")

HEAP = np.array(
    [[0.0, 0.0], [0.12, 0.65], [0.3, 0.55], [0.48, 1.0], [0.62, 0.7], [0.8, 0.8], [1.0, 0.0]]
)
"""The outline of a heap of rock: across its base, and up to its top."""
RAGGED = (1.0, 0.82, 0.95, 0.8, 0.92, 0.78, 0.98, 0.84, 0.9, 0.8, 0.96, 0.85)
"""How far a heap reaches round its middle, seen from above, over its greatest reach."""
HEAP_BASE = 0.8
"""Width of a heap over the length of its tank."""


def sheet(figure: Figure, height: float) -> Axes:
    """Return axes measured in centimetres of tank, `height` of them high, with a scale bar."""
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    style.bare(axes, SHEET_WIDTH, height)
    length, words = scale_bar(50.0, "cm")
    axes.plot([6.0, 6.0 + length], [8.0, 8.0], color=style.FAINT, lw=3)
    style.write(axes, 10.0 + length, 8.0, words, size=0.85, color=style.FAINT)
    return axes


class TankSection:
    """The moving parts of a tank seen from the front: glass, water, gravel and rock."""

    def __init__(self, axes: Axes, floor: float) -> None:
        """Make the parts on axes measured in centimetres, standing at height `floor`."""
        self.floor = floor
        self.water = patch(axes, style.WATER, 0.35, 1.0)
        self.gravel = patch(axes, GRAVEL, 0.6, 1.1)
        self.rock = patch(axes, ROCK, 0.9, 1.2)
        self.glass = wall(axes)
        self.length = style.write(axes, MIDDLE, floor - 8.0, ha="center")
        self.depth = style.write(axes, 0.0, floor, ha="right")
        self.artists: Sequence[Artist] = (
            self.water, self.gravel, self.rock, self.glass, self.length, self.depth,
        )  # fmt: skip

    def move(self, length: float, depth: float, gravel: float, rock_share: float) -> None:
        """Show a tank, all in cm; `rock_share` is the rock's share of the water column."""
        left = MIDDLE - length / 2.0
        self.water.set_xy(rectangle(left, self.floor, length, depth))
        self.gravel.set_xy(rectangle(left, self.floor, length, min(gravel, depth)))
        around = left - GLASS, self.floor - GLASS
        self.glass.set_xy(rectangle(*around, length + 2 * GLASS, depth + ABOVE_WATER))
        self.rock.set_xy(heap(left, self.floor + gravel, length, depth - gravel, rock_share))
        self.rock.set_visible(rock_share > 0.0)
        self.gravel.set_visible(gravel > 0.0)
        self.length.set_text(shown(length, "cm"))
        self.depth.set_text(shown(depth, "cm").replace(" (", "\n("))
        # Beside the tank, or in it where there is no room beside.
        self.depth.set_ha("right" if left > ROOM else "left")
        aside = -5.0 if left > ROOM else 5.0
        self.depth.set_position((left + aside, self.floor + depth / 2.0))


def heap(left: float, floor: float, length: float, height: float, share: float) -> Array:
    """Return a heap of rock as an outline whose area is `share` of length times height."""
    across, up = HEAP.T
    base = HEAP_BASE * length
    area = float(np.sum((up[1:] + up[:-1]) * np.diff(across)) / 2.0)
    top = share * length * max(height, 0.0) / (area * base)
    start = left + (length - base) / 2.0
    return np.column_stack([start + across * base, floor + up * top])


def plan(shape: str, length: float, width: float, bow: float) -> Array:
    """Return the tank's outline from above, centred on (0, 0), front at the bottom; cm."""
    if shape in CORNERS:
        turn = np.linspace(0.0, 2.0 * np.pi, CORNERS[shape] + 1)
        return length / 2.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    outline = rectangle(-length / 2.0, -width / 2.0, length, width)
    if shape == "box":
        return outline
    radius = (length**2 / 4.0 + bow**2) / (2.0 * bow)
    x = np.linspace(-length / 2.0, length / 2.0, 31)
    y = -width / 2.0 + (radius - bow) - np.sqrt(radius**2 - x**2)
    return np.concatenate([np.column_stack([x, y]), outline[2:]])


def heap_from_above(length: float, width: float, share: float) -> Array:
    """Return the outline of a heap of rock from above, round (0, 0): the wider, the more rock."""
    turn = np.linspace(0.0, 2.0 * np.pi, len(RAGGED) + 1)[:-1]
    size = 0.5 * HEAP_BASE * min(1.0, 0.5 + share) * np.array(RAGGED)
    return np.column_stack([length * size * np.cos(turn), width * size * np.sin(turn)])


CORNERS = {"cylinder": 60, "hexagon": 6}
"""Shapes that are drawn as an even polygon, `length` from corner to corner."""


def round_width(litres: float) -> float:
    """Return the width in cm of a round body as wide as it is high that holds so much."""
    return float((4.0 * CUBIC_CM * litres / math.pi) ** (1.0 / 3.0))


def usual_sides(litres: float) -> tuple[float, float]:
    """Return length and depth in cm of a tank of usual shape with so much water."""
    ratios = [parameter(f"tank_{side}_over_depth").bare for side in ("length", "width")]
    depth = (CUBIC_CM * litres / (ratios[0] * ratios[1])) ** (1.0 / 3.0)
    return float(ratios[0] * depth), float(depth)
