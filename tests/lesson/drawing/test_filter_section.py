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
    MOST_FLOW,
    PADS,
    PIPE,
    SHEET_HEIGHT,
    SHEET_WIDTH,
    TRAY,
    WALL,
    WIDEST,
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


def way(section):
    """The arrows of the water: down the pipe, up through the trays, out of the head."""
    outlines = [path.vertices[:7] for path in section.arrows.get_paths()]
    return outlines[0], outlines[1:-1], outlines[-1]


def tail_and_tip(arrow):
    return (arrow[0] + arrow[-1]) / 2, arrow[3]


@pytest.mark.parametrize(("width", "settling", "depth"), SIZES)
def test_water_goes_down_the_pipe_and_up_through_every_tray(section, width, settling, depth):
    section.move(width, settling, depth, GRADES, CLEAN, edges_of(depth), 700.0)
    down, rising, out = way(section)
    _, right, bottom, lid = box(section.water)
    pipe, head = box(section.pipe), box(section.head)
    start, end = tail_and_tip(down)
    assert pipe[0] < start[0] == end[0] < pipe[1]
    # From above the head into the settling space, where the pipe ends under the first tray.
    assert start[1] > head[3]
    assert bottom < pipe[2] < end[1] < section.floors[1]
    # Then it rises over the whole width of the trays, not in the pipe.
    assert len(rising) == 3
    for arrow in rising:
        start, end = tail_and_tip(arrow)
        assert pipe[1] < start[0] == end[0] < right
        assert bottom < start[1] < section.floors[1]
        assert section.floors[-1] + depth < end[1] < lid
    assert max(tail_and_tip(a)[0][0] for a in rising) - pipe[1] > 0.7 * (right - pipe[1])
    start, end = tail_and_tip(out)
    assert lid < start[1] < head[3] < end[1]


def test_arrows_are_as_wide_as_the_flow(section):
    widths = []
    for flow in (1000.0, 500.0, 40.0, 9000.0):
        section.move(250.0, 50.0, 40.0, GRADES, CLEAN, edges_of(40.0), flow)
        down, rising, out = way(section)
        each = {round(float(np.ptp(a[[0, -1], 0])), 6) for a in (down, *rising, out)}
        assert len(each) == 1
        widths.append(each.pop())
    assert widths[:3] == pytest.approx([WIDEST * flow / MOST_FLOW for flow in (1000, 500, 40)])
    assert widths[3] == WIDEST < PIPE


def test_the_canister_is_one_body_with_a_head_stubs_and_open_trays(section):
    section.move(250.0, 50.0, 40.0, GRADES, CLEAN, edges_of(40.0), 700.0)
    head, motor, wall = (box(part) for part in (section.head, section.motor, section.wall))
    assert head[0] < motor[0] < motor[1] < head[1]
    assert head[2] < motor[2] < motor[3] < head[3]
    # Two clips hold the head, two stubs stand on it, with a valve each.
    seal, *clips = section.fittings.get_paths()[:3]
    assert seal.contains_point((wall[0], head[2]))
    for clip in clips:
        assert clip.vertices[:, 1].min() < head[2] < clip.vertices[:, 1].max()
    stubs = section.fittings.get_paths()[3:5]
    assert [stub.vertices[:, 1].min() for stub in stubs] == [head[3]] * 2
    # A wall at each side of each tray, and a floor that is dotted because it is open.
    x = np.reshape(section.trays.get_xdata(), (-1, 3))[:, :2]
    assert len(x) == 6
    assert set(x.ravel()) == {box(section.pipe)[1], head[1]}
    floors = np.reshape(section.open_floors.get_ydata(), (-1, 3))[:, 0]
    assert floors == pytest.approx(np.array(section.floors[1:]) - TRAY)
    assert section.open_floors.get_linestyle() == ":"


@pytest.mark.parametrize(("width", "settling", "depth"), SIZES)
def test_places_are_stacked_in_order_and_to_scale(section, width, settling, depth):
    section.move(width, settling, depth, GRADES, LAYERS, edges_of(depth), 700.0)
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
    section.move(width, settling, depth, GRADES, LAYERS, edges_of(depth), 700.0)
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
        section.move(250.0, 50.0, 40.0, grades, filled, edges_of(40.0), 700.0)
        assert not any(dirt.get_visible() for dirt in section.dirt)
        assert len(section.shade.get_paths()) == 0


def test_pads_look_like_their_grade_and_bear_its_name(section):
    section.move(250.0, 50.0, 40.0, GRADES, CLEAN, edges_of(40.0), 700.0)
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
