"""Outlines have the areas and the edges that they are named for."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.lesson.drawing.shapes import band, rectangle, ribbon, upright_ribbon

SIDES = st.floats(0.1, 100.0)


def area(outline):
    """The area within an outline, by the trapezoids to the next point."""
    x, y = np.asarray(outline).T
    return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


@given(st.floats(-50, 50), st.floats(-50, 50), SIDES, SIDES)
def test_a_rectangle_stands_on_its_corner(left, bottom, width, height):
    outline = rectangle(left, bottom, width, height)
    assert outline.min(axis=0) == pytest.approx([left, bottom])
    assert outline.max(axis=0) == pytest.approx([left + width, bottom + height])
    assert area(outline) == pytest.approx(width * height, rel=1e-6)


def test_a_band_keeps_its_height_on_its_way():
    outline = band((11.0, 20.0), (43.0, 46.0), 5.0)
    there, back = outline[:25], outline[25:][::-1]
    assert there[:, 0] == pytest.approx(back[:, 0])
    assert there[:, 1] - back[:, 1] == pytest.approx(5.0)
    middle = (there + back) / 2.0
    assert middle[0] == pytest.approx([11.0, 20.0])
    assert middle[-1] == pytest.approx([43.0, 46.0])
    # It leaves and arrives level.
    ends = np.diff(middle[[0, 1, -2, -1], 1])[[0, 2]]
    assert np.all(ends < 0.2 * np.diff(middle[:, 1]).max())
    assert area(outline) == pytest.approx(5.0 * 32.0)


def test_ribbons_lie_between_two_curves():
    x = np.linspace(0.0, 1.0, 201)
    outline = ribbon(x, 2.0 + x**2, x)
    assert area(outline) == pytest.approx(2.0 + 1 / 3 - 1 / 2, rel=1e-4)
    upright = upright_ribbon(2.0 + x**2, x, x)
    assert area(upright) == pytest.approx(area(outline))
    assert upright[0] == pytest.approx(outline[0][::-1])
