"""Small shapes the drawings share: a flowing band, the region between two lines, and a box."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon
from numpy.typing import ArrayLike, NDArray

from aqualib.lesson.drawing.style import GLASS, INK, Look

Array: TypeAlias = NDArray[np.float64]

STEPS = np.linspace(0.0, 1.0, 25)
SMALLEST_HEAD = 4.0
"""Length of the head of an arrow that has hardly a shaft."""
EASE = STEPS * STEPS * (3.0 - 2.0 * STEPS)


def band(start: tuple[float, float], end: tuple[float, float], height: float) -> Array:
    """Return the outline of a band of one height that flows from `start` to `end`, (n, 2)."""
    x = start[0] + (end[0] - start[0]) * STEPS
    middle = start[1] + (end[1] - start[1]) * EASE
    return ribbon(x, middle + height / 2.0, middle - height / 2.0)


def ribbon(x: ArrayLike, there: ArrayLike, back: ArrayLike) -> Array:
    """Return the outline of what lies between two curves over the same `x`, (2 n, 2)."""
    along = np.column_stack([x, there])
    return np.concatenate([along, np.column_stack([x, back])[::-1]])


def upright_ribbon(left: ArrayLike, right: ArrayLike, y: ArrayLike) -> Array:
    """Return the outline of what lies between two lines over the same heights, (2 n, 2)."""
    along = np.column_stack([left, y])
    return np.concatenate([along, np.column_stack([right, y])[::-1]])


def rectangle(left: float, bottom: float, width: float, height: float) -> Array:
    """Return the outline of a rectangle, (4, 2)."""
    right, top = left + width, bottom + height
    return np.array([[left, bottom], [right, bottom], [right, top], [left, top]])


def arrow(tail: tuple[float, float], tip: tuple[float, float], shaft: float) -> Array:
    """Return the outline of an arrow with a shaft so wide, on a sheet of equal scale, (7, 2)."""
    start, end = np.array(tail), np.array(tip)
    length = max(float(np.hypot(*(end - start))), 1e-9)
    along = (end - start) / length
    aside = np.array([-along[1], along[0]])
    head = min(1.2 * shaft + SMALLEST_HEAD, 0.6 * length)
    wide = 0.5 * shaft + 0.6 * head
    neck = end - head * along
    half = 0.5 * shaft * aside
    return np.array(
        [start + half, neck + half, neck + wide * aside, end,
         neck - wide * aside, neck - half, start - half]
    )  # fmt: skip


def patch(axes: Axes, look: Look, strength: float = 0.85, order: float = 1.0) -> Polygon:
    """Add an empty polygon in the look of a thing; give it an outline with `set_xy`."""
    polygon = Polygon(
        np.zeros((3, 2)),
        closed=True,
        facecolor=look.colour,
        alpha=strength,
        edgecolor=INK,
        linewidth=0.6,
        hatch=look.hatch or None,
        zorder=order,
    )
    axes.add_patch(polygon)
    return polygon


def tint(axes: Axes, look: Look, strength: float, order: float = 0.5) -> Polygon:
    """Add an empty polygon without an edge, for a region or a band of doubt."""
    polygon = patch(axes, look, strength, order)
    polygon.set_edgecolor("none")
    return polygon


def wall(axes: Axes, order: float = 1.3, width: float = 2.0) -> Polygon:
    """Add an empty polygon that is nothing but its edge, in the colour of glass."""
    polygon = patch(axes, Look("none"), 1.0, order)
    polygon.set(fill=False, edgecolor=GLASS, linewidth=width)
    return polygon
