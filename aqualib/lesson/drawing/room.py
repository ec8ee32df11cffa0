"""Where words find room beside what they name: clear of lines, of other words and of the edges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path
from numpy.typing import ArrayLike

from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.drawing.words import ACROSS, UP, Words

MARGIN = 4.0
"""Pixels at 100 dots per inch that words keep from all else."""
LINE = 1.2
"""Height of a line of text over the size of its letters."""
POINTS_PER_INCH = 72.0
OUTSIDE, ON_A_LINE, ON_WORDS = 40.0, 1.0, 20.0
"""How bad it is to leave the sheet, to lie on a line, to lie on other words."""


class Place(NamedTuple):
    """A place that words may stand at, in the coordinates of their axes."""

    x: float
    y: float
    across: str = "left"
    """Which side of the words stands there."""


class Room:
    """What stands on axes, line by line and box by box, in pixels."""

    def __init__(self, axes: Axes, *, beyond: float = 0.0) -> None:
        """Take the room of axes; words may reach this share of the width beyond their right end."""
        self.axes = axes
        self.dots = float(axes.figure.dpi)
        box = axes.bbox
        self.edges = np.array([box.x0, box.y0, box.x1 + beyond * box.width, box.y1])
        self.empty()

    def empty(self) -> None:
        """Forget all that stood there."""
        self.starts, self.steps = np.empty((0, 2)), np.empty((0, 2))
        self.boxes: list[Array] = []

    def line(self, x: ArrayLike, y: ArrayLike) -> None:
        """Let a line stand there, in the axes' coordinates."""
        points = self.axes.transData.transform(np.column_stack([x, y]))
        points = points[np.isfinite(points).all(axis=1)]
        self.starts = np.concatenate([self.starts, points[:-1]])
        self.steps = np.concatenate([self.steps, np.diff(points, axis=0)])

    def dot(self, x: float, y: float, width: float) -> None:
        """Let a marker so many points wide stand there."""
        middle = self.axes.transData.transform((x, y))
        half = 0.5 * width * self.dots / POINTS_PER_INCH
        self.boxes.append(np.concatenate([middle - half, middle + half]))

    def taken(self, words: Words) -> None:
        """Let words that are where they are stand there."""
        self.boxes.append(self._box(words, Place(*words.get_position(), words.across)))

    def put(self, words: Words, places: Iterable[Place | tuple[Any, ...]]) -> Place | None:
        """Move words to the first place that is clear, or to the least bad one; return it.

        Where what they name is out of sight there is no place, and they are hidden.
        """
        best, least = None, np.inf
        for each in places:
            place = Place(*each)
            box = self._box(words, place)
            bad = self._badness(box)
            if bad < least:
                best, least, at = place, bad, box
            if not bad:
                break
        words.set_visible(best is not None)
        if best is None:
            return None
        words.set_ha(best.across)
        words.set_position((float(best.x), float(best.y)))
        self.boxes.append(at)
        return best

    def _box(self, words: Words, place: Place) -> Array:
        x, y = self.axes.transData.transform((place.x, place.y))
        wide, high = words_size(words, self.dots)
        left, low = x - ACROSS[place.across] * wide, y - UP[words.up] * high
        gap = MARGIN * self.dots / 100.0
        return np.array([left - gap, low - gap, left + wide + gap, low + high + gap])

    def _badness(self, box: Array) -> float:
        gap = MARGIN * self.dots / 100.0
        low, high = box[:2] + gap < self.edges[:2], box[2:] - gap > self.edges[2:]
        bad = OUTSIDE * float(np.sum(low) + np.sum(high))
        for other in self.boxes:
            if np.all(box[:2] < other[2:]) and np.all(other[:2] < box[2:]):
                bad += ON_WORDS
        touched = float(np.sum(crosses(self.starts, self.steps, box)))
        return bad + min(ON_A_LINE * touched, 0.5 * ON_WORDS)


AROUND = sorted(
    ((x, y) for x in (-0.3, -0.15, -0.04, 0.04, 0.15, 0.3) for y in np.linspace(-0.6, 0.6, 25)),
    key=lambda place: abs(place[0]) + abs(place[1]),
)
"""Steps from a point to places around it, the nearest first."""


def around(x: float, y: float, wide: float = 1.0) -> Iterator[Place]:
    """Return places around a point on axes that are 1 high, the nearest first.

    x: As a share of the width of the axes.
    """
    for across, up in AROUND:
        if 0.0 <= x + across <= 1.0 and 0.0 <= y + up <= 1.0:
            yield Place((x + across) * wide, y + up, "left" if across > 0.0 else "right")


def crosses(starts: Array, steps: Array, box: Array) -> Any:
    """Return which lines, from `starts` by `steps`, touch a box (left, low, right, top)."""
    with np.errstate(divide="ignore", invalid="ignore"):
        # Along each axis a line is within the box between two shares of its length.
        near, far = (box[:2] - starts) / steps, (box[2:] - starts) / steps
    still = steps == 0.0
    inside = (starts >= box[:2]) & (starts <= box[2:])
    enter = np.where(still, np.where(inside, -np.inf, np.inf), np.minimum(near, far)).max(axis=1)
    leave = np.where(still, np.where(inside, np.inf, -np.inf), np.maximum(near, far)).min(axis=1)
    return (enter <= leave) & (enter <= 1.0) & (leave >= 0.0)


def words_size(words: Words, dots: float) -> tuple[float, float]:
    """Return the width and the height in pixels of words as they will be set."""
    size, weight = words.letters
    lines = words.get_text().split("\n")
    wide = max(_line_width(line, size, weight) for line in lines)
    return wide * dots / POINTS_PER_INCH, LINE * size * len(lines) * dots / POINTS_PER_INCH


@lru_cache(maxsize=2000)
def _line_width(line: str, size: float, weight: str) -> float:
    """Return the width of a line of text in points."""
    letters = FontProperties(size=size, weight=weight)
    return float(text_to_path.get_text_width_height_descent(line, letters, ismath=False)[0])
