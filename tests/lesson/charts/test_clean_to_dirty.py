import dataclasses

import numpy as np
import pytest

from aqualib.lesson.charts.clean_to_dirty import CleanToDirty, Year
from aqualib.parameters import parameter
from aqualib.units import Q, set_units

YEAR = Year(
    pores=80.0, rated_flow=1200.0, clean_flow=900.0, flow=600.0,
    fillings=np.array([0.0, 80.0, 100.0]), fall=np.array([900.0, 600.0, 10.0]),
    litres=200.0, energy=175.3, cost=52.6, power=20.0,
)  # fmt: skip


@pytest.mark.parametrize("system", ["metric", "us"])
def test_line_of_the_box_and_region_of_cleaning(draw, system):
    set_units(system)
    chart = draw(CleanToDirty(), YEAR)
    # Places are shares of the end of the axis.
    shown = Q(1.0, "L/h").m_as({"metric": "L/h", "us": "gal/h"}[system]) / chart.flows.end
    assert chart.flows.end == {"metric": 1500.0, "us": 400.0}[system]
    assert list(chart.box.get_ydata()) == pytest.approx([1200 * shown] * 2)
    assert chart.box_name.get_position()[1] > 1200 * shown
    late = chart.late.get_xy()
    share = parameter("least_flow_share").value
    assert late[:, 1].max() == pytest.approx(share * 900 * shown)
    assert late.min() == 0.0
    assert chart.box.axes.get_ylim()[1] > chart.box_name.get_position()[1]


def test_marks_on_the_strip_stand_at_the_turnovers(draw):
    chart = draw(CleanToDirty(), YEAR)
    rated, delivered = chart.marks
    assert list(rated.get_xdata()) == pytest.approx([6.0])
    assert list(delivered.get_xdata()) == pytest.approx([3.0])
    names = [name.get_text() for name in chart.mark_names]
    assert names == ["on the box 6", "delivered 3"]
    # Each name beside its mark, away from the other.
    assert chart.mark_names[0].get_position()[0] > 6.0
    assert chart.mark_names[1].get_position()[0] < 3.0
    for mark, name in zip(chart.marks, chart.mark_names, strict=True):
        assert mark.get_ydata()[0] == name.get_position()[1]


def test_a_turnover_beyond_the_strip_stands_at_its_end(draw):
    chart = draw(CleanToDirty(), dataclasses.replace(YEAR, litres=1.0, flow=0.0))
    assert [mark.get_xdata()[0] for mark in chart.marks] == [100.0, 0.1]


def test_usual_region_is_the_row_of_the_rule(draw):
    chart = draw(CleanToDirty(), YEAR)
    row = parameter("turnover_rule")
    region = chart.marks[0].axes.patches[0].get_xy()[:, 0]
    assert (region.min(), region.max()) == (row.low, row.high)
