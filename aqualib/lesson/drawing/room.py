"""Where words find room beside what they name: clear of lines, of other words and of the edges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import islice
from typing import Any, NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path
from numpy.typing import ArrayLike, NDArray

from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.drawing.words import ACROSS, UP, Words

MARGIN = 4.0
"""Pixels at 100 dots per inch that words keep from all else."""
LINE = 1.2
"""Height of a line of text over the size of its letters."""
POINTS_PER_INCH = 72.0
AT_A_TIME = 12
"""How many places are looked at together."""
TINY = 1e-9
"""Pixels."""
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
        there = Place(*words.get_position(), words.across)
        self.boxes.append(self._boxes([there], words_size(words, self.dots), words.up)[0])

    def put(self, words: Words, places: Iterable[Place | tuple[Any, ...]]) -> Place | None:
        """Move words to the first place that is clear, or to the least bad one; return it.

        Where what they name is out of sight there is no place, and they are hidden.
        """
        best, least, at = None, np.inf, np.empty(4)
        size, coming = words_size(words, self.dots), iter(places)
        # A few at a time: mostly one of the first is clear.
        while least > 0.0 and (some := [Place(*each) for each in islice(coming, AT_A_TIME)]):
            boxes = self._boxes(some, size, words.up)
            bad = self._badness(boxes)
            first = int(np.argmin(bad))
            if bad[first] < least:
                best, least, at = some[first], float(bad[first]), boxes[first]
        words.set_visible(best is not None)
        if best is None:
            return None
        words.set_ha(best.across)
        words.set_position((float(best.x), float(best.y)))
        self.boxes.append(at)
        return best

    def _boxes(self, places: Sequence[Place], size: tuple[float, float], up: str) -> Array:
        """Return the boxes of words of a size at some places, with what they keep free around."""
        points = self.axes.transData.transform([(place.x, place.y) for place in places])
        shares = np.array([(ACROSS[place.across], UP[up]) for place in places])
        low = points - shares * size
        gap = MARGIN * self.dots / 100.0
        return np.concatenate([low - gap, low + size + gap], axis=1)

    def _badness(self, boxes: Array) -> Array:
        """Return how bad it would be for words to lie in each of some boxes; 0 is clear."""
        gap = MARGIN * self.dots / 100.0
        beyond = [boxes[:, :2] + gap < self.edges[:2], boxes[:, 2:] - gap > self.edges[2:]]
        bad = OUTSIDE * np.sum(beyond, axis=(0, 2))
        if self.boxes:
            others = np.array(self.boxes)
            over = (boxes[:, None, :2] < others[:, 2:]) & (others[:, :2] < boxes[:, None, 2:])
            bad += ON_WORDS * over.all(axis=2).sum(axis=1)
        touched = crosses(self.starts, self.steps, boxes[:, None]).sum(axis=1)
        return np.asarray(bad + np.minimum(ON_A_LINE * touched, 0.5 * ON_WORDS))


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


def crosses(starts: Array, steps: Array, box: Array) -> NDArray[np.bool_]:
    """Return which lines, from `starts` by `steps`, touch a box (left, low, right, top).

    A row of boxes, each alone in a row, gives a row of answers for each.
    """
    # Along each axis a line is within the box between two shares of its length. One that stands
    # still along an axis takes a tiny step, which is so soon over that it is in or out all along.
    steps = np.where(steps == 0.0, TINY, steps)
    near, far = (box[..., :2] - starts) / steps, (box[..., 2:] - starts) / steps
    enter, leave = np.minimum(near, far).max(axis=-1), np.maximum(near, far).min(axis=-1)
    return np.asarray((enter <= leave) & (enter <= 1.0) & (leave >= 0.0))


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
