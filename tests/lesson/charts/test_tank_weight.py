import numpy as np
import pytest

from aqualib.lesson.charts.tank_weight import TankWeight, Weight, arrow_down

TANK = Weight(length=100.0, depth=45.0, litres=180.0, mass=179.5, floor_load=448.8)


def test_tank_is_to_scale_and_the_arrow_as_long_as_it_is_heavy(draw):
    chart = draw(TankWeight(), TANK)
    assert np.ptp(chart.section.water.get_xy(), axis=0) == pytest.approx([100.0, 45.0])
    arrow = chart.arrow.get_xy()
    assert np.ptp(arrow[:, 1]) == pytest.approx(0.05 * 179.5)
    # It hangs under the middle of the tank and points down.
    middle = np.mean(chart.section.water.get_xy()[:4, 0])
    tip = arrow[np.argmin(arrow[:, 1])]
    assert tip[0] == pytest.approx(middle)
    assert arrow[:, 1].max() < chart.section.water.get_xy()[:, 1].min()


def test_numbers_are_those_of_the_result(draw):
    chart = draw(TankWeight(), TANK)
    assert [text.get_text() for text in chart.numbers] == ["180 L", "180 kg", "449 kg/m²"]


@pytest.mark.parametrize(("length", "drawn"), [(0.0, 8.0), (20.0, 20.0), (1000.0, 43.0)])
def test_an_arrow_is_never_too_short_to_see_nor_too_long_for_the_sheet(length, drawn):
    assert np.ptp(arrow_down(100.0, 57.0, length)[:, 1]) == drawn
