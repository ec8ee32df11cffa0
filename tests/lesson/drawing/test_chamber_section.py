"""A lamp's housing: water runs in below, along the lamp, and out above on the other side."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing.chamber_section import (
    CAP,
    LIGHT,
    LOW,
    PORT_LENGTH,
    WALL,
    WATER,
    ChamberSection,
    label_section,
)
from aqualib.lesson.drawing.words import Words

INNER, LENGTH = 12.5, 200.0


@pytest.fixture
def axes():
    return Figure().add_axes((0.0, 0.0, 1.0, 1.0))


def box(patch):
    (left, bottom), (right, top) = patch.get_xy().min(axis=0), patch.get_xy().max(axis=0)
    return left, right, bottom, top


@pytest.mark.parametrize("shell", [20.0, 30.0, 60.0])
def test_water_passes_the_whole_lamp_between_the_ports(axes, shell):
    section = ChamberSection(axes, INNER, LENGTH, 12)
    radii = np.linspace(INNER, shell, 25)
    section.move(radii, np.linspace(1.0, 0.1, 25))
    assert box(section.water)[:2] == pytest.approx((-shell, shell))
    way_in, way_out = (np.array(path.get_data()) for path in section.paths)
    # In by the low port at the left, up between sleeve and shell, out by the high one.
    assert way_in[0, 0] == pytest.approx(box(section.ports[0])[0])
    assert way_out[0, -1] == pytest.approx(box(section.ports[1])[1], abs=5.0)
    for way, port, end in ((way_in, section.ports[0], 0), (way_out, section.ports[1], -1)):
        low, high = box(port)[2:]
        assert low < way[1, end] < high
        along = np.abs(way[0, 1])
        assert INNER < along < shell
    assert way_in[1, 0] < 0.2 * LENGTH
    assert way_out[1, -1] > 0.8 * LENGTH
    # Nothing of the water's way lies in the sleeve or outside the lit part.
    assert box(section.sleeve)[:2] == pytest.approx((-INNER, INNER))
    assert box(section.lamp)[2:] == pytest.approx((0.0, LENGTH))


def test_the_tint_follows_the_light_on_both_sides(axes):
    section = ChamberSection(axes, INNER, LENGTH, 2)
    section.move(np.linspace(INNER, 30.0, 5), np.array([1.0, 0.9, 0.6, 0.3, 0.0]))
    colours = np.array(section.lit.get_facecolor())[:, :3]
    assert len(colours) == 4
    assert colours[0] == pytest.approx(WATER + 0.8**0.7 * (LIGHT - WATER))
    assert colours[1] == pytest.approx(WATER + 0.3**0.7 * (LIGHT - WATER))
    assert colours[2:] == pytest.approx(colours[:2])
    strips = [path.vertices[:4] for path in section.lit.get_paths()]
    ends = [(strip[:, 0].min(), strip[:, 0].max()) for strip in strips]
    middle = (INNER + 30.0) / 2
    right = [(INNER, middle), (middle, 30.0)]
    assert ends[:2] == [pytest.approx(pair) for pair in right]
    assert ends[2:] == [pytest.approx((-b, -a)) for a, b in right]
    assert all((strip[:, 1].min(), strip[:, 1].max()) == (0.0, LENGTH) for strip in strips)


@pytest.mark.parametrize("shell", [20.0, 60.0])
def test_shell_and_ports_close_round_the_water(axes, shell):
    section = ChamberSection(axes, INNER, LENGTH, 12)
    section.move(np.linspace(INNER, shell, 25), np.linspace(1.0, 0.1, 25))
    wide = shell + WALL
    assert box(section.shell) == pytest.approx((-wide, wide, -CAP - WALL, LENGTH + CAP + WALL))
    assert box(section.water) == pytest.approx((-shell, shell, -CAP, LENGTH + CAP))
    # Each port leads through the wall to the water, and as far out on either side.
    left, right = (box(port) for port in section.ports)
    assert left[:2] == pytest.approx((-wide - PORT_LENGTH, -shell))
    assert right[:2] == pytest.approx((shell, wide + PORT_LENGTH))
    for port in (left, right):
        assert -CAP < port[2] < port[3] < LENGTH + CAP
    for name, port in zip(section.ends, (left, right), strict=True):
        x, y = name.get_position()
        assert port[0] < x < port[1]
        assert y > port[3]
    assert [name.get_text() for name in section.ends] == ["in", "out"]


def test_words_of_the_section_stand_over_and_under_it():
    figure = Figure()
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    label_section(axes, LENGTH)
    lamp, scale = (one for one in axes.artists if isinstance(one, Words))
    assert lamp.get_position()[1] > LENGTH + CAP
    assert scale.get_text() == "50 mm, to scale"
    (bar,) = axes.lines
    assert np.ptp(bar.get_xdata()) == 50.0
    assert LOW < scale.get_position()[1] < bar.get_ydata()[0] < -CAP - WALL
