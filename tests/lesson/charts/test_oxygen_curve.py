import numpy as np
import pytest

from aqualib.lesson.charts.oxygen_curve import CELSIUS, OxygenCurve
from aqualib.lesson.panels.oxygen_curve import compute
from aqualib.units import Q, set_units
from aqualib.water.oxygen import saturation

WATERS = [(298.15, 0.0, 0.0, 0.2), (281.0, 35.0, 2000.0, 0.5)]


@pytest.mark.parametrize("water", WATERS)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_point_lies_on_the_line_where_the_numbers_say(draw, water, system):
    set_units(system)
    breath = compute(*water)
    chart = draw(OxygenCurve(), breath)
    (x,), (y,) = chart.point.get_data()
    unit = {"metric": "degC", "us": "degF"}[system]
    assert x == pytest.approx(Q(water[0], "kelvin").m_as(unit))
    assert y == pytest.approx(breath.saturation)
    assert np.interp(x, *chart.curve.get_data()) == pytest.approx(y, rel=1e-3)
    assert chart.point.axes.get_xlim() == pytest.approx(
        [Q(end, "degC").m_as(unit) for end in (4, 30)]
    )


def test_still_lines_are_fresh_and_sea_water_at_sea_level(draw):
    chart = draw(OxygenCurve(), compute(*WATERS[1]))
    fresh, sea = (line for line in chart.curve.axes.lines[:2])
    for line, salinity in ((fresh, 0.0), (sea, 35.0)):
        expected = saturation(Q(CELSIUS, "degC"), salinity).m_as("mg/L")
        assert line.get_ydata() == pytest.approx(expected)
    # Salt and height both leave less room for oxygen.
    assert np.all(chart.curve.get_ydata() < sea.get_ydata())


@pytest.mark.parametrize("celsius", [4.0, 17.0, 30.0])
def test_the_reading_lies_across_no_line_at_all(draw, celsius):
    chart = draw(OxygenCurve(), compute(celsius + 273.15, 0.0, 0.0, 0.2))
    axes = chart.curve.axes
    box = chart.reading.get_window_extent().transformed(axes.transData.inverted())
    for line in axes.lines:
        x, y = (np.asarray(values, float) for values in line.get_data())
        assert not np.any((x >= box.x0) & (x <= box.x1) & (y >= box.y0) & (y <= box.y1))
    assert chart.reading.get_text().startswith("◆ ")


def test_the_curve_has_a_darker_edge(draw):
    """Sky blue alone has too little contrast on paper."""
    chart = draw(OxygenCurve(), compute(293.15, 5.0, 0.0, 0.2))
    assert list(chart.edge.get_ydata()) == list(chart.curve.get_ydata())
    assert chart.edge.get_linewidth() > chart.curve.get_linewidth() + 1.0
