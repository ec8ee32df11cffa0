"""A filter in section: the water comes down the pipe, rises through the trays and leaves above."""

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.path import Path

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.filter_section import (
    DARKEST,
    FLOOR,
    HEAD,
    PADS,
    SHEET_HEIGHT,
    SHEET_WIDTH,
    WALL,
    FilterSection,
    stage_floors,
)

GRADES = ["settling space", "coarse", "empty", "fine"]
SIZES = [(250.0, 50.0, 40.0), (150.0, 10.0, 20.0), (400.0, 80.0, 50.0)]
CLEAN = [(0.0, 0.0), (0.0, 0.0), (), (0.0, 0.0)]
LAYERS = [(0.5, 0.5), (0.25, 0.0), (), (1.2, 0.4)]
"""Shares of the room filled in two layers of each place; the tray with nothing in it has none."""


def edges_of(depth):
    return 0.0, 5.0, depth


@pytest.fixture
def section():
    axes = Figure(figsize=(7.2, 5.75)).add_axes((0.0, 0.0, 1.0, 1.0))
    style.bare(axes, SHEET_WIDTH, SHEET_HEIGHT)
    return FilterSection(axes, 3)


def box(patch):
    (left, bottom), (right, top) = patch.get_xy().min(axis=0), patch.get_xy().max(axis=0)
    return left, right, bottom, top


@pytest.mark.parametrize(("width", "settling", "depth"), SIZES)
def test_water_goes_down_the_pipe_and_up_through_every_tray(section, width, settling, depth):
    section.move(width, settling, depth, GRADES, CLEAN, edges_of(depth))
    x, y = np.array(section.path.get_data())
    _, right, bottom, top = box(section.water)
    pipe = box(section.pipe)
    assert pipe[0] < x[0] == x[1] < pipe[1]
    # Its lowest run lies in the settling space, under the mouth of the pipe and the first tray.
    low = y[1]
    assert low == y[2] == y.min()
    assert bottom < low < pipe[2] < section.floors[1]
    # Then it rises in the trays, not in the pipe, and leaves above the lid.
    assert pipe[1] < x[-1] < right
    assert y[0] == y[-1] > top
    for pad in section.pads:
        assert box(pad)[0] >= pipe[1] - 1e-9
        assert box(pad)[0] < x[-1] < box(pad)[1]


@pytest.mark.parametrize(("width", "settling", "depth"), SIZES)
def test_arrows_point_along_the_way(section, width, settling, depth):
    section.move(width, settling, depth, GRADES, CLEAN, edges_of(depth))
    x, y = np.array(section.path.get_data())
    down, across, up = section.arrows
    assert [line.get_marker() for line in section.arrows] == ["v", ">", "^"]
    assert set(down.get_xdata()) == {x[0]}
    assert x[1] < across.get_xdata()[0] < x[2]
    assert across.get_ydata()[0] == y[1]
    assert set(up.get_xdata()) == {x[-1]}
    roof = box(section.wall)[3]
    assert max(down.get_ydata()) > roof > min(down.get_ydata()) > FLOOR
    heights = np.array(up.get_ydata())
    # One under each tray, and one on the way out.
    assert np.all(np.diff(heights) > 0.0)
    assert np.all(heights[:3] < section.floors[1:])
    assert roof < heights[3] < y[-1]


@pytest.mark.parametrize(("width", "settling", "depth"), SIZES)
def test_places_are_stacked_in_order_and_to_scale(section, width, settling, depth):
    section.move(width, settling, depth, GRADES, LAYERS, edges_of(depth))
    assert section.floors == stage_floors(settling, depth, 3)
    assert section.floors[0] == FLOOR
    for pad, floor, above in zip(
        section.pads, section.floors[1:], [*section.floors[2:], np.inf], strict=True
    ):
        assert box(pad)[2:] == pytest.approx((floor, floor + depth))
        assert floor + depth < above
    # The wall stands round the water and the head on it.
    water, head, wall = (box(part) for part in (section.water, section.head, section.wall))
    assert water[1] - water[0] == pytest.approx(width)
    assert head == pytest.approx((*water[:2], water[3], water[3] + HEAD))
    assert wall == pytest.approx((water[0] - WALL, water[1] + WALL, FLOOR - WALL, head[3]))


@pytest.mark.parametrize(("width", "settling", "depth"), SIZES)
def test_dirt_lies_in_the_layers_that_hold_it(section, width, settling, depth):
    """A layer is grey across its pad as far as it is full; in a settling space dirt is a floor."""
    section.move(width, settling, depth, GRADES, LAYERS, edges_of(depth))
    assert [dirt.get_visible() for dirt in section.dirt] == [True, True, False, True]
    assert np.ptp(section.dirt[0].get_xy(), axis=0) == pytest.approx((width, 0.5 * settling))
    for place in (1, 3):
        left, right, _, _ = box(section.pads[place - 1])
        outline = Path(section.dirt[place].get_xy())
        for share, low, high in zip(LAYERS[place], (0.0, 5.0), (5.0, depth), strict=True):
            middle = section.floors[place] + (low + high) / 2.0
            reach = left + min(share, 1.0) * (right - left)
            assert share == 0.0 or outline.contains_point((reach - 0.5, middle))
            assert not outline.contains_point((reach + 0.5, middle))
    strengths = section.shade.get_facecolor()[:, 3]
    assert strengths / DARKEST == pytest.approx([0.25, 0.0, 1.0, 0.4])
    tall = [np.ptp(path.vertices[:, 1]) for path in section.shade.get_paths()]
    assert tall == pytest.approx([5.0, depth - 5.0] * 2)


def test_a_clean_filter_and_one_without_pads_show_no_dirt(section):
    for filled, grades in (
        (CLEAN, GRADES),
        ([(0.0,), (), (), ()], ["settling space"] + ["empty"] * 3),
    ):
        section.move(250.0, 50.0, 40.0, grades, filled, edges_of(40.0))
        assert not any(dirt.get_visible() for dirt in section.dirt)
        assert len(section.shade.get_paths()) == 0


def test_pads_look_like_their_grade_and_bear_its_name(section):
    section.move(250.0, 50.0, 40.0, GRADES, CLEAN, edges_of(40.0))
    assert [pad.get_hatch() for pad in section.pads] == [PADS[g].hatch for g in GRADES[1:]]
    assert [name.get_text() for name in section.names] == [
        "settling space", "1: coarse", "2: empty", "3: fine",
    ]  # fmt: skip
    x, y = section.pump.get_position()
    left, right, low, high = box(section.head)
    assert left < x < right
    assert low < y < high
    for name, floor, tall in zip(section.names, section.floors, [50, 40, 40, 40], strict=True):
        assert name.get_position()[1] == pytest.approx(floor + 0.7 * tall)
