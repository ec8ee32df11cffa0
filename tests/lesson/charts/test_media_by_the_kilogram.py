import numpy as np
import pytest

from aqualib.lesson.charts.media_by_the_kilogram import DECADES, ROWS, MediaByTheKilogram, tick
from aqualib.lesson.panels.kilograms_of_media import compute
from aqualib.units import set_units

RINGS = {"kind": "sintered glass rings", "mass": 1.0, "size": 0.015, "inner_porosity": 0.55,
         "voidage": 0.6, "pore_size": 2e-4, "working_depth": 3e-4, "price": 12.0}  # fmt: skip


@pytest.mark.parametrize("system", ["metric", "us"])
def test_ticks_are_ten_times_apart_where_they_say(draw, system):
    set_units(system)
    chart = draw(MediaByTheKilogram(), compute(**RINGS))
    factor = chart.axis.scale
    named = {t.get_text(): t.get_position()[0]
             for t in chart.bars.whiskers.axes.get_xticklabels() if t.get_text()}  # fmt: skip
    assert len(named) == 5
    for text, place in named.items():
        area = float(text.replace("million", "1e6").replace(" ", "")) / factor
        assert chart.axis.place(area) == pytest.approx(place)


def test_what_goes_beyond_the_axis_ends_in_an_arrow(draw):
    many = {**RINGS, "mass": 50.0, "pore_size": 1e-6, "inner_porosity": 0.8}
    result = compute(**many)
    assert result.bed.walls.high > 1e5
    chart = draw(MediaByTheKilogram(), result)
    x, y = chart.bars.beyond.get_data()
    assert list(x) == [DECADES]
    assert list(y) == pytest.approx([ROWS["walls"] + 0.15])
    assert np.nanmax(chart.bars.whiskers.get_xdata()) == DECADES


def test_without_pores_there_is_one_bar_and_words_say_so(draw):
    chart = draw(MediaByTheKilogram(), compute(**{**RINGS, "inner_porosity": 0.0}))
    shown = {name: block.get_visible() for name, block in chart.bars.blocks.items()}
    assert shown == {"outer_area": True, "in_reach": False, "walls": False}
    assert chart.amounts["walls"].get_text() == "none: no pores"
    assert not chart.share.get_visible()


def test_powers_of_ten_in_words():
    assert [tick(power) for power in (-2, 0, 1, 4, 6)] == ["0.01", "1", "10", "10 000", "million"]
