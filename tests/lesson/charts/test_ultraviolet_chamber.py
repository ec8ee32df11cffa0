import numpy as np
import pytest

from aqualib.lesson.charts.ultraviolet_chamber import (
    CLEARED,
    DOSES,
    FLOWS,
    UltravioletChamber,
    two_digits,
)
from aqualib.lesson.drawing.words import Words
from aqualib.lesson.panels.ultraviolet_lamp import lamp_panel
from aqualib.units import Q, set_units


@pytest.fixture
def lamp():
    panel = lamp_panel()
    yield panel
    panel.close()


def test_each_benchmark_has_a_line_and_its_name_at_its_dose(draw, lamp):
    chart = draw(UltravioletChamber(), lamp.result)
    lines = [line for line in chart.point.axes.lines if line.get_linestyle() == ":"]
    assert [line.get_ydata()[0] for line in lines] == [d for _, d in lamp.result.benchmarks]
    low, high = chart.point.axes.get_ylim()
    assert (low, high) == DOSES
    assert all(low < dose < high for _, dose in lamp.result.benchmarks)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_lines_drop_from_the_point_to_both_axes(draw, lamp, system):
    set_units(system)
    lamp.set(flow=900)
    chart = draw(UltravioletChamber(), lamp.result)
    factor = Q(1.0, "L/h").m_as({"metric": "L/h", "us": "gal/h"}[system])
    (at,), (dose,) = chart.point.get_data()
    assert at == pytest.approx(900 * factor)
    x, y = chart.drop.get_data()
    assert list(zip(x, y, strict=True)) == [
        (at, DOSES[0]), (at, dose), (pytest.approx(FLOWS[0] * factor), dose),
    ]  # fmt: skip


def test_the_band_of_the_tank_lies_about_its_line(draw, lamp):
    chart, clearing = draw(UltravioletChamber(), lamp.result), lamp.result.clearing
    count = len(clearing.times)
    outline = chart.left_band.get_xy()[: 2 * count]
    slow, fast = outline[:count, 1], outline[count:, 1][::-1]
    assert np.all(slow >= chart.left.get_ydata() - 1e-9)
    assert np.all(fast <= chart.left.get_ydata() + 1e-9)
    assert chart.cleared.get_ydata() == [100.0 - CLEARED]
    assert chart.answer.get_text() == two_digits(clearing.hours)


def test_two_digits_that_count():
    assert [two_digits(x) for x in (1929.0, 0.123, 12.7)] == ["1900", "0.12", "13"]


def test_parts_of_the_page_lie_apart_and_on_it(draw, lamp):
    chart = draw(UltravioletChamber(), lamp.result)
    section, dose, head, tank = (axes.get_position() for axes in chart.point.axes.figure.axes)
    for box in (section, dose, head, tank):
        assert box.x0 >= 0.0
        assert box.y0 >= 0.0
        assert box.x1 <= 1.0 + 1e-9
        assert box.y1 <= 1.0 + 1e-9
    assert tank.y0 < tank.y1 < dose.y0 < dose.y1 <= head.y0
    assert section.x1 < dose.x0


def test_no_text_is_smaller_than_nine_points(draw, lamp):
    chart = draw(UltravioletChamber(), lamp.result)
    words = [one for axes in chart.point.axes.figure.axes for one in axes.artists
             if isinstance(one, Words)]  # fmt: skip
    assert len(words) > 10
    assert min(one.letters[0] for one in words) >= 9.0
