"""From clean to dirty: the picture shows the numbers, and they are the pump's and the loop's."""

import numpy as np
import pytest

from aqualib.lesson.panels.clean_to_dirty import turnover_panel
from aqualib.lesson.panels.pump_and_loop import pump_panel
from aqualib.parameters import parameter


@pytest.fixture
def year():
    panel = turnover_panel()
    yield panel
    panel.close()


def test_a_lift_beyond_the_pump_gives_no_flow(year):
    assert "none: the pump cannot lift" in year.replay(lift=1.5, rated_head=1.0)


def test_the_flow_is_that_of_the_first_panel(year):
    settings = {"bore": 12, "pores": 60, "lift": 0.3, "rated_flow": 900}
    first = pump_panel()
    first.set(**settings)
    year.set(**settings)
    flows = year.result.flow, year.result.clean_flow
    assert flows == (first.result.flow, first.result.clean_flow)
    first.close()


@pytest.mark.parametrize("pores", [0, 40, 80, 92])
def test_point_lies_on_the_falling_curve(year, pores):
    year.set(pores=pores)
    chart = year.picture.chart
    (x,), (y,) = chart.point.get_data()
    assert x == pores
    assert np.interp(x, *chart.curve.get_data()) == pytest.approx(y, rel=2e-3)


def test_region_of_cleaning_ends_at_half_the_clean_flow(year):
    chart = year.picture.chart
    top = chart.late.get_xy()[:, 1].max() * chart.flows.end
    share = parameter("least_flow_share").value
    assert top == pytest.approx(share * year.result.clean_flow)


def test_pads_are_due_at_the_one_line_and_the_flow_says_so_late(year):
    due = year.picture.chart.due_name
    assert due.get_text() == "pads are due: 50 % full"
    assert year.values["pores"] == 50
    words = {pores: year.replay(pores=pores) for pores in (40, 60, 93)}
    assert words[40].endswith("the pads can wait")
    assert words[60].endswith("clean the pads now")
    assert words[93].endswith("they are long due")
    left = 100 * year.result.flow / year.result.clean_flow
    assert float(words[93].split()[2]) == pytest.approx(left, rel=0.05)


def test_turnover_and_bill_are_plain_sums(year):
    year.set(volume=300, power=30, price=0.2)
    result = year.result
    assert result.turnover == pytest.approx(result.flow / 300)
    assert result.rated_turnover == pytest.approx(parameter("pump_rated_flow").value / 300)
    assert result.energy == pytest.approx(30 * 8.76)
    assert result.cost == pytest.approx(30 * 8.76 * 0.2)


def test_dirt_never_raises_the_flow(year):
    flows = []
    for pores in range(0, 96, 5):
        year.set(pores=pores)
        flows.append(year.result.flow)
    assert np.all(np.diff(flows) < 0.0)
