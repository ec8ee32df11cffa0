"""Words go where they are clear of lines, of one another and of the edges."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.room import Place, Room, around, crosses, words_size
from aqualib.lesson.panels.carbon_in_the_loop import carbon_panel
from aqualib.lesson.panels.clean_to_dirty import turnover_panel
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.units import set_units


@pytest.fixture
def axes():
    axes = Figure(figsize=(4.0, 3.0), dpi=100).add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, 1.0)
    axes.set_ylim(0.0, 1.0)
    return axes


BOX = np.array([10.0, 10.0, 20.0, 20.0])


@pytest.mark.parametrize(
    ("start", "end", "touches"),
    [
        ((0, 15), (30, 15), True),  # through
        ((12, 12), (18, 18), True),  # inside
        ((0, 0), (30, 5), False),
        ((15, 25), (15, 40), False),  # upright, above
        ((15, 5), (15, 40), True),  # upright, through
        ((0, 15), (9, 15), False),  # ends before it
        ((0, 29), (29, 0), True),  # across a corner
        ((0, 19), (19, 0), False),  # past a corner
    ],
)
def test_a_line_that_touches_a_box(start, end, touches):
    starts, steps = np.array([start], float), np.array([end], float) - start
    assert crosses(starts, steps, BOX).tolist() == [touches]


def test_words_take_the_first_clear_place(axes):
    room, words = Room(axes), style.write(axes, 0.0, 0.0, "a name")
    room.line([0.0, 1.0], [0.5, 0.5])
    room.dot(0.5, 0.8, 12.0)
    places = [(0.4, 0.5), (0.45, 0.8), (0.98, 0.2), (0.3, 0.2), (0.3, 0.3)]
    assert room.put(words, places) == Place(0.3, 0.2)
    assert words.get_position() == (0.3, 0.2)
    # The second keeps off the first; where no place is clear, a line is better than other words.
    other = style.write(axes, 0.0, 0.0, "another")
    assert room.put(other, [(0.3, 0.2), (0.3, 0.5, "right")]) == Place(0.3, 0.5, "right")
    assert other.across == "right"
    room.empty()
    assert room.put(other, []) is None
    assert not other.get_visible()
    assert room.put(other, [(0.3, 0.2)]) == Place(0.3, 0.2)
    assert other.get_visible()


@pytest.mark.parametrize("text", ["a name", "194 US gal/h", "on the\nbox"])
@pytest.mark.parametrize("weight", ["normal", "bold"])
def test_the_size_of_words_is_that_of_their_type(axes, text, weight):
    words = style.write(axes, 0.5, 0.5, text, weight=weight)
    wide, high = words_size(words, 100.0)
    box = words.get_window_extent()
    assert wide == pytest.approx(box.width, abs=6.0)
    assert high == pytest.approx(box.height, abs=6.0)


def test_places_around_a_point_begin_with_the_nearest_and_stay_inside():
    places = list(around(0.9, 0.5, 100.0))
    away = [abs(place.x / 100 - 0.9) + abs(place.y - 0.5) for place in places]
    assert np.all(np.diff(away) > -1e-9)
    assert all(0.0 <= place.x <= 100.0 and 0.0 <= place.y <= 1.0 for place in places)
    assert {place.across for place in places if place.x > 90.0} == {"left"}
    assert {place.across for place in places if place.x < 90.0} == {"right"}


def touched(words, lines):
    """Which of some lines, in the coordinates of their axes, go through words."""
    box = words.get_window_extent().padded(-1.0)
    found = []
    for line in lines:
        points = line.get_transform().transform(np.column_stack(line.get_data()))
        points = points[np.isfinite(points).all(axis=1)]
        if crosses(points[:-1], np.diff(points, axis=0), np.array(box.extents)).any():
            found.append(line)
    return found


PUMP = "pump_name name clean_name box_name reading", "pump loop clean box"
FALL = "box_name due_name reading", "curve box due"


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize(
    ("make", "names", "settings"),
    [
        (pump_panel, PUMP, {}),
        (pump_panel, PUMP, {"length": 10}),
        (pump_panel, PUMP, {"lift": 1.5}),
        (pump_panel, PUMP, {"rated_head": 0.5}),
        (pump_panel, PUMP, {"pores": 90}),
        (pump_panel, PUMP, {"bore": 32, "rated_flow": 3000}),
        (turnover_panel, FALL, {}),
        (turnover_panel, FALL, {"pores": 95}),
        (turnover_panel, FALL, {"rated_flow": 300}),
        (carbon_panel, (), {}),
        (carbon_panel, (), {"mass": 500}),
        (carbon_panel, (), {"change": 80, "day": 60}),
        (carbon_panel, (), {"initial": 20}),
    ],
)
def test_names_and_readings_keep_off_the_lines(make, names, settings, system, lesson_start):
    set_units(system)
    panel = make()
    panel.replay(**settings)
    chart = panel.picture.chart
    if names:
        words, lines = ([getattr(chart, n) for n in part.split()] for part in names)
    else:
        words, lines = list(chart.names.values()), [chart.tank, chart.without, chart.halved]
    shown = [line for line in lines if line.get_visible()]
    crossed = {w.get_text(): touched(w, shown) for w in words if w.get_visible()}
    panel.close()
    assert {text: found for text, found in crossed.items() if found} == {}
