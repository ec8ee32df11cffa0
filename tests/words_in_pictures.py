"""Where the words of a picture lie, and which of them lie where they should not.

Asks the drawn artists for their boxes: words against words, words against the page's edge, words
against markers. Numbers in a finding are replaced, so that one collision has one name.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from aqualib.lesson.drawing.words import Words
from aqualib.lesson.panel import Panel

TOUCH = 2.0
"""Points by which boxes may lie over each other: they have a little white round the letters."""
FEW = 12
"""A line with markers at no more places than this is a set of dots; with more it is a curve."""
NUMBER = re.compile(r"[\d.,]*\d")


class Box(NamedTuple):
    """Something drawn, by its words, and where it lies in pixels."""

    name: str
    left: float
    bottom: float
    right: float
    top: float


def named(text: str) -> str:
    """Give a text in one line, its numbers replaced."""
    return NUMBER.sub("#", text.replace("\n", " "))


def words_on(figure: Figure) -> Iterator[Box]:
    """Give each text that can be seen."""
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    for axes in figure.axes:
        for artist in (*axes.artists, *axes.texts, *axis_words(axes)):
            seen = artist.get_visible() and isinstance(artist, Words | Text)
            if seen and (text := artist.get_text()).strip():
                yield boxed(text, artist.get_window_extent(renderer))


def axis_words(axes: Axes) -> Iterator[Any]:
    """Give the names of the axes and the numbers at the ticks that are drawn."""
    if not axes.axison:
        return
    for axis in (axes.xaxis, axes.yaxis):
        yield axis.label
        low, high = sorted(axis.get_view_interval())
        hair = 1e-6 * (high - low)
        for tick in axis.get_major_ticks():
            if low - hair <= tick.get_loc() <= high + hair:
                yield tick.label1


def boxed(name: str, box: Bbox) -> Box:
    """Give a box its name."""
    return Box(named(name), box.x0, box.y0, box.x1, box.y1)


def dots_on(figure: Figure) -> Iterator[Box]:
    """Give each marker that stands by itself."""
    for axes in figure.axes:
        for line in axes.lines:
            if line.get_visible() and line.get_marker() not in {"", "None", None, "|", "_"}:
                yield from dots_of(line, figure)


def dots_of(line: Line2D, figure: Figure) -> Iterator[Box]:
    """Give the markers of a line."""
    places = line.get_transform().transform(line.get_xydata())
    places = places[np.isfinite(places).all(axis=1)]
    if len(places) > FEW:
        return
    half = 0.5 * line.get_markersize() * figure.dpi / 72.0
    within = line.axes.bbox.padded(1.0)
    for x, y in places:
        if not line.get_clip_on() or within.contains(x, y):
            yield Box(f"dot {line.get_marker()}", x - half, y - half, x + half, y + half)


def overlap(one: Box, other: Box) -> float:
    """Give by how many pixels boxes lie over each other, in the direction where it is less."""
    across = min(one.right, other.right) - max(one.left, other.left)
    return min(across, min(one.top, other.top) - max(one.bottom, other.bottom))


def out_of_place(figure: Figure) -> set[str]:
    """Name all words that lie on other words, on a dot, or over the edge of the picture."""
    touch = TOUCH * figure.dpi / 72.0
    words, dots = list(words_on(figure)), list(dots_on(figure))
    assert words
    pairs = itertools.chain(itertools.combinations(words, 2), itertools.product(words, dots))
    found = {
        " × ".join(sorted((one.name, other.name)))
        for one, other in pairs
        if overlap(one, other) > touch
    }
    wide, high = figure.bbox.width + touch, figure.bbox.height + touch
    return found | {
        f"{word.name} × edge"
        for word in words
        if min(word.left, word.bottom) < -touch or word.right > wide or word.top > high
    }


def ends_of(panel: Panel) -> Iterator[dict[str, Any]]:
    """Give the start, both ends of every control, and all sliders at one end together."""
    yield {}
    for name, control in panel.controls.items():
        for value in stops(control):
            if value != control.start:
                yield {name: value}
    for at in (0, -1):
        yield {
            name: stops(control)[at]
            for name, control in panel.controls.items()
            if hasattr(control, "parameter")
        }


def stops(control: Any) -> list[Any]:
    """Give the values at which a control is tried."""
    if hasattr(control, "parameter"):
        ends = [control.parameter.low, control.parameter.high]
        return [end for end in ends if math.isfinite(end)]
    return list(control.words) if hasattr(control, "words") else [False, True]
