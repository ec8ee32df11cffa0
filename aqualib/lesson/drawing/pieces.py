"""Pieces of media as they look, and the equal rows in which they stand, to scale."""

from __future__ import annotations

import math

import numpy as np
from matplotlib.path import Path

from aqualib.filtration.media import MediaKind, cell_of_step
from aqualib.lesson.drawing.shapes import Array

ROW_HEIGHT = math.sqrt(3.0) / 2.0
"""Of equal rows, over the step in a row: each piece has so much of the square of the step."""


def _circle(radius: float, turn: int = 1) -> Path:
    angles = np.linspace(0.0, 2.0 * math.pi, 25)[::turn]
    return Path(radius * np.column_stack([np.cos(angles), np.sin(angles)]), closed=True)


def outline(kind: MediaKind) -> Path:
    """Return the outline of a piece, one wide, as a marker."""
    if kind.shape == "ring":
        # The hole is drawn the other way round, which leaves it open.
        return Path.make_compound_path(_circle(0.5), _circle(0.5 * kind["hole_share"].value, -1))
    if kind.shape == "broken":
        angles = np.radians([10, 60, 95, 150, 200, 235, 290, 330, 370])
        reach = np.array([0.5, 0.42, 0.5, 0.46, 0.5, 0.38, 0.5, 0.41, 0.5])
        return Path(np.column_stack([np.cos(angles), np.sin(angles)]) * reach[:, None], closed=True)
    if kind.shape == "foam":
        angles = np.radians(np.arange(30, 391, 60))
        return Path(np.column_stack([np.cos(angles), np.sin(angles)]) / math.sqrt(3.0), closed=True)
    if kind.shape == "carrier":
        cross = Path([[-0.5, 0], [0.5, 0], [0, -0.5], [0, 0.5]], [1, 2, 1, 2])
        return Path.make_compound_path(_circle(0.5), cross)
    return _circle(0.5)


def is_threads(kind: MediaKind) -> bool:
    """Return whether a kind is drawn as lines: it is nearly all water."""
    return kind.shape in {"foam", "carrier"}


def drawn_width(kind: MediaKind, size: float) -> float:
    """Return the width of what is drawn, in the unit of `size`: of foam, a cell."""
    return float(cell_of_step(size)) if kind.shape == "foam" else size


def step_between(kind: MediaKind, size: float, voidage: float) -> float:
    """Return how far apart pieces stand in equal rows so that solid and room are as they are."""
    width = drawn_width(kind, size)
    if is_threads(kind):
        return width
    hole = kind["hole_share"].value if kind.shape == "ring" else 0.0
    solid = math.pi / 4.0 * width**2 * (1.0 - hole**2)
    return max(width, math.sqrt(solid / (1.0 - voidage) / ROW_HEIGHT))


def places(step: float, piece: float, wide: float, high: float) -> Array:
    """Return the middles of pieces in equal rows inside a rectangle from 0, 0, as (n, 2)."""
    x = np.arange(piece / 2.0, wide - piece / 2.0 + 1e-9, step)
    y = np.arange(piece / 2.0, high - piece / 2.0 + 1e-9, step * ROW_HEIGHT)
    if not len(x) or not len(y):
        return np.empty((0, 2))
    across, up = np.meshgrid(x, y)
    across[1::2] += step / 2.0
    found = np.column_stack([across.ravel(), up.ravel()])
    return found[found[:, 0] <= wide - piece / 2.0 + 1e-9]


def reach(kind: MediaKind) -> float:
    """Return how far a kind's outline goes from its middle, along either axis."""
    return float(np.abs(outline(kind).vertices).max())
