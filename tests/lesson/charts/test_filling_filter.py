from dataclasses import replace

import numpy as np
import pytest

from aqualib.lesson.charts.filling_filter import (
    FULL_BAR,
    HIGHEST_FLOW,
    FillingFilter,
    FilterDay,
    Shape,
    Stage,
)
from aqualib.lesson.drawing.filter_section import MIDDLE, WALL
from aqualib.units import Q, set_units

DAYS = np.linspace(0.0, 180.0, 61)
STAGES = (
    Stage("settling space", 12.0, 0.4, 0.4, (0.4, 0.4)),
    Stage("coarse", 20.0, 1.2, 0.6, (0.6, 0.2)),
    Stage("empty", 0.0, 0.0, 0.0, ()),
    Stage("fine", 3.0, 2.5, 0.9, (0.9, 0.1)),
)
SHAPE = Shape(
    width=250.0, settling=50.0, depth=40.0, edges=(0.0, 5.0, 40.0), production=1.0, fines="few"
)


def today(due=90.0, shape=SHAPE):
    return FilterDay(
        stages=STAGES, shape=shape, day=45.0, days=DAYS, flows=1000.0 - DAYS, flow=955.0,
        suspended=1.5, one_pass=0.6, due=due, cause="the coarse pad in tray 1 is full",
        caught_when_due=60.0,
    )  # fmt: skip


@pytest.mark.parametrize("system", ["metric", "us"])
def test_strip_shows_the_flow_today_and_when_cleaning_is_due(draw, system):
    set_units(system)
    chart = draw(FillingFilter(3, 180.0), today())
    shown = Q(1.0, "L/h").m_as({"metric": "L/h", "us": "gal/h"}[system])
    assert chart.flow.get_ydata() == pytest.approx((1000.0 - DAYS) * shown)
    assert chart.today.get_data() == ([45.0], [pytest.approx(955.0 * shown)])
    assert chart.flow.axes.get_ylim() == pytest.approx((0.0, HIGHEST_FLOW * shown))
    assert list(chart.due.get_xdata()) == [90.0, 90.0]
    late = chart.late.get_xy()[:, 0]
    assert (late.min(), late.max()) == (90.0, 180.0)
    assert chart.due_day.get_text() == "cleaning due: day 90"


def test_nothing_due_colours_nothing(draw):
    chart = draw(FillingFilter(3, 180.0), today(due=np.inf))
    assert np.ptp(chart.late.get_xy()[:, 0]) == 0.0
    assert chart.due_day.get_text() == "no cleaning due yet"


def test_bars_stand_beside_their_place_and_an_empty_tray_has_none(draw):
    chart = draw(FillingFilter(3, 180.0), today())
    heights = [50.0, 40.0, 40.0, 40.0]
    for at, (bar, frame) in enumerate(zip(chart.bars, chart.frames, strict=True)):
        middle = np.mean([bar.get_xy()[:4, 1].min(), bar.get_xy()[:4, 1].max()])
        assert middle == pytest.approx(chart.section.floors[at] + heights[at] / 2)
        assert bar.get_xy()[:, 0].min() == frame.get_xy()[:, 0].min() == chart.left
        there = STAGES[at].grade != "empty"
        assert frame.get_visible() == bar.get_visible() == there
        assert np.ptp(frame.get_xy()[:, 0]) == pytest.approx(there * FULL_BAR)
    # A thread joins each place that holds something to its bar.
    x, y = (np.reshape(values, (-1, 3))[:, :2] for values in chart.threads.get_data())
    assert len(x) == sum(stage.grade != "empty" for stage in STAGES)
    assert np.all(x == [MIDDLE + SHAPE.width / 2 + WALL, chart.left])
    middles = [f + h / 2 for f, h in zip(chart.section.floors, heights, strict=True)]
    assert list(y[:, 0]) == list(y[:, 1]) == [middles[0], middles[1], middles[3]]
    tall = [np.ptp(bar.get_xy()[:, 1]) for bar in chart.bars]
    assert tall == pytest.approx([20.0] * 4)
    # The line of the limit runs past all of them, with its name and the water over it.
    low, high = chart.due_line.get_ydata()
    assert low <= chart.bars[0].get_xy()[:, 1].min()
    assert chart.section.floors[-1] + 40.0 < high
    assert high < chart.due_name.get_position()[1] < chart.water.get_position()[1]
    # Bars run over their limit, but not without end.
    lengths = [np.ptp(bar.get_xy()[:, 0]) / FULL_BAR for bar in chart.bars]
    assert lengths == pytest.approx([0.4, 1.2, 0.0, 1.3])
    assert [text.get_text() for text in chart.amounts] == ["12 g", "20 g", "", "3 g"]


def test_the_day_changes_nothing_that_is_kept_and_dirt_not_the_sponge():
    first = today()
    assert first.stack == today(due=30.0).stack
    assert first.caught == 35.0
    for changed in ({"production": 2.0}, {"fines": "many"}):
        other = today(shape=replace(SHAPE, **changed))
        assert other.built == first.built
        assert other.stack != first.stack
    for changed in ({"width": 300.0}, {"depth": 30.0}, {"settling": 20.0}):
        assert today(shape=replace(SHAPE, **changed)).built != first.built


def test_layers_of_the_result_are_those_of_the_section(draw):
    chart = draw(FillingFilter(3, 180.0), today())
    reach = np.ptp(chart.section.dirt[1].get_xy()[:, 0])
    assert reach == pytest.approx(0.6 * np.ptp(chart.section.pads[0].get_xy()[:, 0]))


def test_in_a_low_tray_a_bar_is_lower_than_the_tray(draw):
    low = today(shape=replace(SHAPE, depth=20.0, edges=(0.0, 5.0, 20.0)))
    chart = draw(FillingFilter(3, 180.0), low)
    assert np.ptp(chart.bars[1].get_xy()[:, 1]) == pytest.approx(11.0)
