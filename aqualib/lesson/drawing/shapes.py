"""Small shapes the drawings share: a flowing band and a box."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.patches import Polygon

from aqualib.lesson.drawing.style import INK, Look

STEPS = np.linspace(0.0, 1.0, 25)
EASE = STEPS * STEPS * (3.0 - 2.0 * STEPS)


def band(start: tuple[float, float], end: tuple[float, float], height: float) -> Any:
    """Return the outline of a band of one height that flows from `start` to `end`, (n, 2)."""
    x = start[0] + (end[0] - start[0]) * STEPS
    middle = start[1] + (end[1] - start[1]) * EASE
    along = np.column_stack([x, middle + height / 2.0])
    back = np.column_stack([x, middle - height / 2.0])[::-1]
    return np.concatenate([along, back])


def rectangle(left: float, bottom: float, width: float, height: float) -> Any:
    """Return the outline of a rectangle, (4, 2)."""
    right, top = left + width, bottom + height
    return np.array([[left, bottom], [right, bottom], [right, top], [left, top]])


def patch(axes: Any, look: Look, strength: float = 0.85, order: float = 1.0) -> Polygon:
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
