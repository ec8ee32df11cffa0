"""A lamp's housing: water runs in below, along the lamp, and out above on the other side."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing.chamber_section import LIGHT, WATER, ChamberSection, FadingCurve

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
    section.move(np.linspace(INNER, 30.0, 5), np.array([1.0, 1.0, 1.0, 0.0, 0.0]))
    colours = np.array(section.lit.get_facecolor())[:, :3]
    assert len(colours) == 4
    assert colours[0] == pytest.approx(LIGHT)
    assert colours[1] == pytest.approx(WATER + 0.5**0.7 * (LIGHT - WATER))
    assert colours[2:] == pytest.approx(colours[:2])
    strips = [path.vertices for path in section.lit.get_paths()]
    assert strips[0][:, 0].min() == pytest.approx(INNER)
    assert strips[2][:, 0].max() == pytest.approx(-INNER)


def test_the_curve_tells_the_light_at_sleeve_and_shell(axes):
    curve = FadingCurve(axes, INNER)
    radii = np.linspace(INNER, 40.0, 25)
    strength = np.exp(-np.linspace(0.0, 2.0, 25))
    curve.move(radii, 12.0 * strength, strength)
    left, right = (area.get_xy() for area in curve.areas)
    assert right[:25] == pytest.approx(np.column_stack([radii, strength]))
    assert left[:25] == pytest.approx(np.column_stack([-radii, strength]))
    assert curve.sleeve.get_text() == "12"
    assert float(curve.shell.get_text()) == pytest.approx(12.0 * strength[-1], rel=0.05)
    assert curve.shell.get_position()[0] > 40.0
