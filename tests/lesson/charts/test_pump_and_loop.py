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


def factors(system):
    """What a litre an hour and a metre are in a unit set."""
    flow, head = {"metric": ("L/h", "m"), "us": ("gal/h", "ft")}[system]
    return Q(1.0, "L/h").m_as(flow), Q(1.0, "m").m_as(head)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_box_stands_where_the_pump_lifts_nothing(draw, delivery, system):
    set_units(system)
    chart, (flow, head) = draw(PumpAndLoop(), delivery), factors(system)
    end = delivery.rated_flow * flow / chart.flows.end
    assert list(chart.box_mark.get_xdata()) == pytest.approx([end])
    assert list(chart.box.get_xdata()) == pytest.approx([end, end])
    x, y = chart.pump.get_data()
    assert x[-1] == pytest.approx(end)
    assert y[-1] == pytest.approx(0.0, abs=1e-9)
    assert y[0] == pytest.approx(delivery.rated_head * head / chart.heads.end)


def test_lines_lead_from_the_point_to_the_axis_and_to_the_column(draw, delivery):
    chart = draw(PumpAndLoop(), delivery)
    x, y = chart.drop.get_data()
    (at,), (up,) = chart.point.get_data()
    assert list(zip(x, y, strict=True)) == [(at, 0.0), (at, up), (1.0, up)]
    top = max(block.get_xy()[:, 1].max() for block in chart.blocks.values())
    assert top == pytest.approx(up)


def test_a_loop_that_is_as_good_as_clean_has_one_name(draw, delivery):
    dirty = dataclasses.replace(delivery, flow=0.8 * delivery.clean_flow)
    assert draw(PumpAndLoop(), dirty).clean_name.get_visible()
    clean = dataclasses.replace(delivery, flow=delivery.clean_flow)
    assert not draw(PumpAndLoop(), clean).clean_name.get_visible()


@pytest.mark.parametrize(
    ("flow", "head", "ends"),
    [
        (300, 0.5, (400, 0.75)),
        (750, 1, (1000, 1.5)),
        (1150, 2.0, (1500, 2.5)),
        (2800, 4, (3000, 5)),
    ],
)
def test_axes_end_with_a_round_number_over_the_pump(draw, delivery, flow, head, ends):
    pump = dataclasses.replace(delivery, rated_flow=flow, rated_head=head)
    chart = draw(PumpAndLoop(), pump)
    assert (chart.flows.end, chart.heads.end) == ends
    assert [float(mark.get_text()) for mark in chart.flows.marks][-1] == ends[0]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_points_stand_at_the_flow_now_and_clean(draw, delivery, system):
    set_units(system)
    chart, (flow, head) = draw(PumpAndLoop(), delivery), factors(system)
    for point, at, up in (
        (chart.point, delivery.flow, delivery.head),
        (chart.clean_point, delivery.clean_flow, delivery.clean_head),
    ):
        (x,), (y,) = point.get_data()
        assert x * chart.flows.end == pytest.approx(at * flow)
        assert y * chart.heads.end == pytest.approx(up * head)
    assert float(chart.reading.get_text()) == pytest.approx(delivery.flow * flow, rel=0.01)


def test_each_curve_has_its_name_near_it(draw, delivery):
    chart = draw(PumpAndLoop(), delivery)
    for name, line in ((chart.pump_name, chart.pump), (chart.name, chart.loop)):
        away = np.column_stack(line.get_data()) - name.get_position()
        assert np.min(np.hypot(*away.T)) < 0.06
