import dataclasses

import numpy as np
import pytest

from aqualib.lesson.charts.pump_and_loop import PumpAndLoop
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.units import Q, set_units


@pytest.fixture
def delivery():
    panel = pump_panel()
    yield panel.result
    panel.close()


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_box_stands_where_the_pump_lifts_nothing(draw, delivery, system):
    set_units(system)
    chart = draw(PumpAndLoop(), delivery)
    end = Q(delivery.rated_flow, "L/h").m_as({"metric": "L/h", "us": "gal/h"}[system])
    assert list(chart.box_mark.get_xdata()) == pytest.approx([end])
    assert list(chart.box.get_xdata()) == pytest.approx([end, end])
    x, y = chart.pump.get_data()
    assert x[-1] == pytest.approx(end)
    assert y[-1] == pytest.approx(0.0, abs=1e-9)
    high = Q(delivery.rated_head, "m").m_as({"metric": "m", "us": "ft"}[system])
    assert y[0] == pytest.approx(high)


def test_lines_lead_from_the_point_to_the_axis_and_to_the_column(draw, delivery):
    chart = draw(PumpAndLoop(), delivery)
    x, y = chart.drop.get_data()
    (at,), (up,) = chart.point.get_data()
    assert list(zip(x, y, strict=True)) == [(at, 0.0), (at, up), (chart.wide, up)]
    top = max(block.get_xy()[:, 1].max() for block in chart.blocks.values())
    assert top == pytest.approx(up)


def test_reading_and_names_keep_off_the_curves(draw, delivery):
    chart = draw(PumpAndLoop(), delivery)
    x, y = chart.reading.get_position()
    for curve in (chart.pump, chart.loop):
        assert y < np.interp(x, *curve.get_data())
    # A loop that is as good as clean has one name.
    assert chart.clean_name.get_visible()
    clean = dataclasses.replace(delivery, loop_heads=delivery.clean_heads)
    assert not draw(PumpAndLoop(), clean).clean_name.get_visible()


@pytest.mark.parametrize("settings", [{}, {"pores": 93}, {"rated_flow": 900}, {"pores": 50}])
def test_no_name_stands_on_the_line_of_the_box_or_on_the_loop(draw, settings):
    panel = pump_panel()
    panel.set(**settings)
    chart = draw(PumpAndLoop(), panel.result)
    panel.close()
    at, up = chart.pump_name.get_position()
    loop = np.interp(up, chart.loop.get_ydata(), chart.loop.get_xdata())
    # The name is about a ninth of the axes wide.
    assert not at - 0.01 * chart.wide < loop < at + 0.11 * chart.wide
    if chart.clean_name.get_visible():
        start = chart.clean_name.get_position()[0]
        assert not start < chart.box.get_xdata()[0] < start + 0.1 * chart.wide


@pytest.mark.parametrize(
    ("flow", "head", "ends"), [(300, 0.5, (750, 1)), (750, 1, (750, 1)), (1200, 2.6, (1500, 4))]
)
def test_axes_end_with_the_next_of_a_few_numbers(delivery, flow, head, ends):
    assert dataclasses.replace(delivery, rated_flow=flow, rated_head=head).ends == ends


WIDE_OPEN = {"bore": 32, "pores": 0, "length": 1, "elbows": 0}
STEEP = {"lift": 1.4, "rated_head": 1.5}


@pytest.mark.parametrize("settings", [{}, {"rated_flow": 2800}, STEEP, WIDE_OPEN])
def test_each_name_stands_by_its_own_line(draw, settings):
    panel = pump_panel()
    panel.set(**settings)
    chart = draw(PumpAndLoop(), panel.result)
    panel.close()
    at, up = chart.pump_name.get_position()
    above = up - np.interp(at - 0.02 * chart.wide, *chart.pump.get_data())
    assert 0.01 * chart.high < above < 0.05 * chart.high
    beside = chart.box_name.get_position()[0] - chart.box.get_xdata()[0]
    assert 0.01 * chart.wide < abs(beside) < 0.05 * chart.wide
    assert chart.box_name.across == ("left" if beside > 0.0 else "right")
    for name, line in ((chart.name, chart.loop), (chart.clean_name, chart.clean)):
        place = np.array(name.get_position())
        x, y = (np.asarray(part) for part in line.get_data())
        beside = x[np.argmin(np.abs(y - place[1]))]
        assert abs(place[0] - beside) == pytest.approx(0.03 * chart.wide)
        assert (place[0] > beside) == (name.across == "left")
    # To the right only where the loop leaves the axes so early that there is no room at its left.
    to_the_right = chart.name.across == "left"
    leaves = chart.name.get_position()[0] + (-0.03 if to_the_right else 0.03) * chart.wide
    assert to_the_right == (leaves < 0.3 * chart.wide)
    aside = chart.reading.get_position()[0] - chart.point.get_xdata()[0]
    assert abs(aside) == pytest.approx(0.03 * chart.wide)
    assert 0.05 * chart.high < chart.reading.get_position()[1] < chart.high


@pytest.mark.parametrize("system", ["metric", "us"])
def test_points_stand_at_the_flow_now_and_clean(draw, delivery, system):
    set_units(system)
    chart = draw(PumpAndLoop(), delivery)
    flow = Q(1.0, "L/h").m_as({"metric": "L/h", "us": "gal/h"}[system])
    head = Q(1.0, "m").m_as({"metric": "m", "us": "ft"}[system])
    for point, at, up in (
        (chart.point, delivery.flow, delivery.head),
        (chart.clean_point, delivery.clean_flow, delivery.clean_head),
    ):
        (x,), (y,) = point.get_data()
        assert (x, y) == pytest.approx((at * flow, up * head))
