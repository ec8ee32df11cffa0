"""As a lesson begins, in any units and any text size: all words on the page, none on another."""

import importlib
import inspect
import itertools
import pkgutil

import pytest

from aqualib.lesson import panels
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.words import ACROSS, MARGIN, UP, Words
from aqualib.units import set_units

NAMES = [module.name for module in pkgutil.iter_modules(panels.__path__)]
OVER_THE_EDGE = 6
"""Pixels of white round a word that may lie beyond the page."""
TOUCH = {"maturing_a_filter": {"nitrite", "nitrate"}}
"""Words that do touch: two curves that leave the picture side by side."""


@pytest.fixture(params=NAMES)
def panel(request):
    module = importlib.import_module(f"{panels.__name__}.{request.param}")
    (make,) = (
        one
        for name, one in inspect.getmembers(module, inspect.isfunction)
        if name.endswith("_panel") and one.__module__ == module.__name__
    )
    made = make()
    made.touch = TOUCH.get(request.param, set())
    yield made
    made.close()
    style.set_text_size("page")


def words_on(figure):
    """Each text that is seen, and its left, bottom, right and top in pixels."""
    for words in (one for axes in figure.axes for one in axes.artists if isinstance(one, Words)):
        if words.get_visible() and words.get_text():
            high, wide = (side - 2 * MARGIN for side in words._set_type(figure.dpi).shape[:2])
            x, y = words._to_pixels.transform(words.get_position())
            left, bottom = x - ACROSS[words.across] * wide, y - UP[words.up] * high
            yield words.get_text(), (left, bottom, left + wide, bottom + high)


def overlap(one, other):
    """Pixels, across and up, by which two boxes lie over each other."""
    return tuple(min(one[k + 2], other[k + 2]) - max(one[k], other[k]) for k in (0, 1))


def test_words_lie_on_the_page_and_apart(panel):
    figure = panel.picture.figure
    for system, size in itertools.product(("metric", "us"), ("page", "projector")):
        set_units(system)
        style.set_text_size(size)
        found = list(words_on(figure))
        assert found
        wide, high = figure.bbox.width + OVER_THE_EDGE, figure.bbox.height + OVER_THE_EDGE
        for text, (left, bottom, right, top) in found:
            inside = min(left, bottom) > -OVER_THE_EDGE and right < wide and top < high
            assert inside, (text, system, size)
        over = [
            {one, other}
            for (one, first), (other, second) in itertools.combinations(found, 2)
            if min(overlap(first, second)) > 3
        ]
        assert [pair for pair in over if pair != panel.touch] == [], (system, size)
    for axes in figure.axes:
        box = axes.get_position()
        assert min(box.x0, box.y0) > -1e-9
        assert max(box.x1, box.y1) < 1.0 + 1e-9
