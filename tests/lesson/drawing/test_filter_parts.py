"""Parts drawn large: the ring fills its groove and is pressed, the impeller sits on its shaft."""

import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.filter_parts import Impeller, RingInGroove, ellipse


@pytest.fixture
def axes():
    axes = Figure().add_axes((0, 0, 1, 1))
    style.bare(axes, 200, 100)
    return axes


def ends(part):
    return part.get_xy().min(axis=0), part.get_xy().max(axis=0)


def test_the_ring_lies_on_the_floor_of_its_groove_and_the_lid_presses_it(axes):
    rim, lid, _, ring, *_ = RingInGroove(axes, 10, 10).parts
    (left, low), (right, high) = ends(ring)
    assert low - 10 == pytest.approx(12, abs=3)
    assert 70 < left < right < 120
    assert right - left > high - low, "pressed flat"
    assert high == pytest.approx(ends(lid)[0][1], abs=2)
    assert ends(rim)[1][1] < ends(lid)[0][1]


def test_magnet_and_blades_sit_on_one_shaft(axes):
    shaft, magnet, hub, *blades = Impeller(axes, 0, 0).parts[:7]
    (start, low), (end, high) = ends(shaft)
    for part in (magnet, hub):
        assert start < ends(part)[0][0] < ends(part)[1][0] < end
        assert ends(part)[0][1] < low < high < ends(part)[1][1]
    assert len(blades) == 4


def test_an_ellipse_has_its_two_widths():
    outline = ellipse(5, 7, 3, 2)
    assert outline.min(axis=0) == pytest.approx([2, 5])
    assert outline.max(axis=0) == pytest.approx([8, 9])
