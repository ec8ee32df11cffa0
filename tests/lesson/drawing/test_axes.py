"""Axes: round ends, numbers that grow, bars with whiskers, the region above a limit."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.figure import Figure

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.axes import (
    EDGE,
    FINE_STEPS,
    AboveLimit,
    AmountAxis,
    Bars,
    GrowingAxis,
    as_shown,
    roomy_end,
    round_above,
    round_below,
    scale,
    spread,
)
from aqualib.units import Q, set_units

AMOUNTS = st.floats(1e-9, 1e9)


@pytest.fixture(autouse=True)
def _metric():
    yield
    set_units("metric")


@pytest.fixture
def axes():
    return Figure(figsize=(4.0, 3.0)).add_axes((0.2, 0.2, 0.7, 0.7))


@pytest.mark.parametrize(
    ("value", "above", "below"),
    [
        (0.9, 1.0, 0.5),
        (1.0, 1.0, 1.0),
        (1.1, 2.0, 1.0),
        (3.0, 5.0, 2.0),
        (7.0, 10.0, 5.0),
        (0.03, 0.05, 0.02),
        (120.0, 200.0, 100.0),
    ],
)
def test_round_numbers(value, above, below):
    assert round_above(value) == pytest.approx(above)
    assert round_below(value) == pytest.approx(below)


@given(AMOUNTS)
def test_round_numbers_lie_on_both_sides_and_near(value):
    above, below = round_above(value), round_below(value)
    assert 0.9998 * below <= value <= 1.0002 * above
    assert above <= 2.51 * value
    assert below >= value / 2.51
    for end in (above, below):
        assert f"{end:.0e}"[0] in "125"
        assert end == pytest.approx(float(f"{end:.0e}"))


def test_nothing_ends_at_one_and_a_hair_over_is_not_over():
    assert round_above(0.0) == round_above(-3.0) == 1.0
    assert round_above(5.0000001) == 5.0


@given(AMOUNTS)
def test_fine_steps_leave_less_room(value):
    assert round_above(value, FINE_STEPS) <= round_above(value)


@pytest.mark.parametrize(("highest", "end"), [(0.0, 1.0), (0.9, 1.0), (0.95, 2.0), (1e6, 500.0)])
def test_an_end_with_room(highest, end):
    assert roomy_end(highest) == end


@pytest.mark.parametrize("system", ["metric", "us", "imperial"])
def test_numbers_are_shown_in_the_set_in_force(system):
    set_units(system)
    warm = {"metric": 25.0, "us": 77.0, "imperial": 77.0}[system]
    assert as_shown(25.0, "degC") == pytest.approx(warm)
    litres = {"metric": 1.0, "us": 1 / 3.785411784, "imperial": 1 / 4.54609}[system]
    assert scale("L") == pytest.approx(litres)


def test_growing_moves_the_words_and_nothing_else(axes):
    height = GrowingAxis.upright(axes, -0.1)
    before = [mark.get_position() for mark in height.marks]
    height.grow(50.0)
    assert [mark.get_text() for mark in height.marks] == ["0", "10", "20", "30", "40", "50"]
    assert [mark.get_position() for mark in height.marks] == before
    assert before == [(-0.1, tick) for tick in height.ticks]
    assert [tick.get_text() for tick in axes.get_yticklabels()] == [""] * 6


@pytest.mark.parametrize("system", ["metric", "us"])
def test_an_amount_stands_where_the_numbers_say(axes, system):
    set_units(system)
    axis = AmountAxis(axes, "dirt", "g", 4.0)
    axis.grow(7.0)
    shown = Q(7.0, "g").m_as({"metric": "g", "us": "oz"}[system])
    end = float(axis.numbers.marks[-1].get_text())
    assert axis.place(7.0) * end == pytest.approx(shown)
    assert [mark.get_position()[0] for mark in axis.numbers.marks] == [0, 0.2, 0.4, 0.6, 0.8, 1]
    assert not axis.is_beyond(7.0)
    assert axis.is_beyond(1e9)
    assert axis.place(1e9) == 1.0


def test_numbers_stand_under_the_axis_by_the_same_inches_however_many_rows(axes):
    def inches_under(rows):
        axis = AmountAxis(axes, "food", "g/day", rows)
        _, under = axes.transData.transform(axis.numbers.marks[0].get_position())
        _, floor = axes.transData.transform((0.0, 0.0))
        return (floor - under) / axes.figure.dpi

    assert inches_under(2.0) == pytest.approx(inches_under(7.0))
    assert inches_under(4.0) > 0.05


def bars_of(axes, spans):
    axis = AmountAxis(axes, "food", "g/day", 3.0)
    axis.grow(9.0)
    looks = {"upper": style.AMMONIA, "lower": style.OXYGEN}
    bars = Bars(axes, looks, {"upper": 2.0, "lower": 1.0}, 0.5)
    bars.show(axis, spans)
    return bars


def test_bars_and_whiskers_are_the_spans(axes):
    bars = bars_of(axes, {"upper": (1.0, 2.0, 4.0), "lower": (3.0, 5.0, 30.0)})
    upper, lower = (bars.blocks[name].get_xy()[:4] for name in ("upper", "lower"))
    assert np.ptp(upper, axis=0) == pytest.approx([0.2, 0.5])
    assert np.ptp(lower, axis=0) == pytest.approx([0.5, 0.5])
    assert (upper[:, 1].min(), lower[:, 1].min()) == (2.0, 1.0)
    x, y = (np.reshape(part, (2, 7)) for part in bars.whiskers.get_data())
    assert np.isnan(x[:, 6]).all()
    assert x[:, [0, 3]] == pytest.approx(np.array([[0.1, 0.4], [0.3, 1.0]]))
    assert y[:, 2] == pytest.approx([2.25, 1.25])
    # The arrow stands at the end of the bar that runs on, and only there.
    assert bars.beyond.get_data()[0] == [1.0]
    assert bars.beyond.get_data()[1] == pytest.approx([1.25])


def test_a_name_left_out_has_no_bar_and_no_whisker(axes):
    bars = bars_of(axes, {"lower": (3.0, 5.0, 6.0)})
    assert [block.get_visible() for block in bars.blocks.values()] == [False, True]
    assert len(bars.whiskers.get_xdata()) == 7


def test_the_paper_ends_where_the_limit_stands(axes):
    region = AboveLimit(axes, 14.0)
    region.move(0.6)
    paper = region.within.get_xy()
    assert paper[:, 1].max() == pytest.approx(0.6)
    assert paper[:, 0].max() >= 14.0
    assert paper[:, 0].min() == pytest.approx(EDGE * 14.0)
    region.move(0.0)
    assert np.ptp(region.within.get_xy()[:, 1]) == 0.0


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=5).map(sorted))
def test_lines_of_words_stand_apart_and_below_the_top(places):
    gap, top = 0.1, 0.95
    moved = spread(places, gap, top)
    assert moved[-1] <= top
    assert all(after - before >= gap - 1e-9 for before, after in itertools.pairwise(moved))
    far = all(b - a >= gap for a, b in itertools.pairwise(places))
    if far and places[-1] <= top:
        assert moved == pytest.approx(places)


def test_whisker_caps_are_upright(axes):
    bars = bars_of(axes, {"upper": (1.0, 2.0, 4.0)})
    x, y = bars.whiskers.get_data()
    assert x[0] == x[1]
    assert y[:6] == pytest.approx([2.1, 2.4, 2.25, 2.25, 2.4, 2.1])
    assert math.isnan(y[6])
