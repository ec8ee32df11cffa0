"""Tank and filter on one sheet: to one scale, and the water goes round through the filter."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.tank_and_filter import Equipment, TankAndFilter, layers
from aqualib.units import set_units

HIGH = 4.6 / (0.4 * 7.4)
USUAL = Equipment(200.0, 0.0, 20.0, 8.0, 2.0, 4.4, 3.2, 600.0)
EQUIPMENT = [
    USUAL,
    USUAL._replace(volume=20.0, rock=0.0, rock_volume=0.0, media=0.1, media_volume=0.2),
    USUAL._replace(volume=1000.0, media=20.0, media_volume=44.0, pads_volume=26.0, salinity=35.0),
    USUAL._replace(volume=40.0, rock=60.0, rock_volume=30.0),
]
EACH = pytest.mark.parametrize("equipment", EQUIPMENT)


@pytest.fixture
def axes():
    axes = Figure(figsize=(0.4 * 7.4, 4.6)).add_axes((0.0, 0.0, 1.0, 1.0))
    style.bare(axes, 1.0, HIGH)
    yield axes
    set_units("metric")


@pytest.fixture
def drawing(axes):
    return TankAndFilter(axes, HIGH)


def box(patch):
    """Left, right, bottom and top of an outline."""
    (left, bottom), (right, top) = patch.get_xy().min(axis=0), patch.get_xy().max(axis=0)
    return left, right, bottom, top


def crosses(x, y, patch):
    """Whether the way at a place lies within an outline."""
    left, right, bottom, top = box(patch)
    return left <= x <= right and bottom <= y <= top


def along(line):
    """Places on a line, a thousand on each leg."""
    x, y = (np.asarray(part) for part in line.get_data())
    share = np.linspace(0.0, 1.0, 1000)[:, None]
    legs = [(part[:-1] + share * np.diff(part)).T.ravel() for part in (x, y)]
    return legs[0], legs[1]


@EACH
def test_the_way_begins_and_ends_in_the_tank(drawing, equipment):
    drawing.move(equipment)
    x, y = np.array(drawing.path.get_data())
    for end in (0, -1):
        assert crosses(x[end], y[end], drawing.water)
    # It leaves at one side and comes back at the other.
    middle = np.mean(box(drawing.water)[:2])
    assert x[0] < middle < x[-1]


@EACH
def test_the_way_passes_the_pads_before_the_media(drawing, equipment):
    drawing.move(equipment)
    x, y = along(drawing.path)
    inside = {
        name: [crosses(*at, patch) for at in zip(x, y, strict=True)]
        for name, patch in (("pads", drawing.pads), ("media", drawing.media))
    }
    first = {name: int(np.argmax(there)) for name, there in inside.items()}
    assert all(any(there) for there in inside.values())
    assert 0 < first["pads"] < first["media"]
    # Once out of the media it does not come back to the pads.
    last = len(x) - 1 - int(np.argmax(inside["media"][::-1]))
    assert not any(inside["pads"][last + 1 :])


@EACH
def test_the_way_back_is_another_pipe(drawing, equipment):
    drawing.move(equipment)
    x, y = np.array(drawing.path.get_data())
    down, up = drawing.arrows.get_xdata()[0], drawing.back.get_xdata()[0]
    assert drawing.arrows.get_marker() == "v"
    assert drawing.back.get_marker() == "^"
    left, right, *_ = box(drawing.wall)
    assert down < left < up < right
    # Both arrows stand on the way, and it runs there as they say.
    for at, sign in ((down, -1.0), (up, 1.0)):
        legs = [k for k in range(len(x) - 1) if x[k] == x[k + 1] == at]
        height = drawing.arrows.get_ydata()[0]
        passed = [k for k in legs if min(y[k], y[k + 1]) <= height <= max(y[k], y[k + 1])]
        assert [np.sign(y[k + 1] - y[k]) for k in passed] == [sign]


@EACH
def test_all_is_drawn_to_one_scale(drawing, equipment):
    drawing.move(equipment)
    length, depth = np.ptp(drawing.water.get_xy(), axis=0) / drawing.cm
    assert length * depth * 0.9 * depth == pytest.approx(1000 * equipment.volume)
    for layer, litres in (
        (drawing.media, equipment.media_volume),
        (drawing.pads, equipment.pads_volume),
    ):
        width, height = np.ptp(layer.get_xy(), axis=0) / drawing.cm
        assert np.pi / 4 * width**2 * height == pytest.approx(1000 * litres)
    bar = np.ptp(drawing.bar.get_xdata()) / drawing.cm
    assert drawing.bar_name.get_text() == f"{bar:g} cm"


@EACH
def test_everything_finds_room(drawing, equipment):
    drawing.move(equipment)
    for patch in (drawing.glass, drawing.wall, drawing.rock):
        left, right, bottom, top = box(patch)
        assert 0.0 < left < right < 1.0
        assert 0.0 < bottom <= top < HIGH
    assert box(drawing.wall)[3] < box(drawing.glass)[2]
    # The walls stand round what they hold, a centimetre away.
    for wall, held in ((drawing.glass, drawing.water), (drawing.wall, drawing.pads)):
        outside, inside = box(wall), box(held)
        thick = drawing.cm
        assert outside[:3] == pytest.approx(
            (inside[0] - thick, inside[1] + thick, inside[2] - thick)
        )
        assert outside[3] > inside[3]
    assert box(drawing.media)[2] == pytest.approx(box(drawing.pads)[3])
    assert box(drawing.pads)[2] > box(drawing.wall)[2]
    assert box(drawing.media)[3] < box(drawing.wall)[3]


def test_rock_shows_its_share_of_the_water_up_to_what_can_be_drawn(drawing):
    shares = []
    for equipment in EQUIPMENT:
        drawing.move(equipment)
        x, y = drawing.rock.get_xy().T
        area = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0
        shares.append(area / np.prod(np.ptp(drawing.water.get_xy(), axis=0)))
        assert drawing.rock.get_visible() == (equipment.rock > 0.0)
    assert shares == pytest.approx([8 / 200, 0.0, 8 / 1000, 0.45])


def test_words_tell_water_rock_and_flow(drawing):
    drawing.move(USUAL)
    assert [line.get_text() for line in drawing.lines] == [
        "200 L", "of fresh water", "and 20 kg of rock",
    ]  # fmt: skip
    heights = [line.get_position()[1] for line in drawing.lines]
    assert heights == sorted(heights, reverse=True)
    assert drawing.flow_name.get_text() == "600 L/h"
    drawing.move(USUAL._replace(salinity=35.0, rock=0.0))
    assert [line.get_text() for line in drawing.lines] == ["200 L", "at salinity 35", ""]


def test_what_stands_still_is_kept(drawing):
    drawing.move(USUAL)
    key = drawing.kept.key
    drawing.move(USUAL._replace(flow=300.0, salinity=35.0))
    assert drawing.kept.key == key
    assert drawing.flow_name.get_text() == "300 L/h"
    drawing.move(USUAL._replace(media=3.0))
    assert drawing.kept.key != key


def test_a_canister_is_as_wide_as_high_but_never_too_narrow():
    width, pads, media = layers(20.0, 20.0)
    assert width == pytest.approx(pads + media)
    assert layers(0.1, 0.1)[0] == 16.0
