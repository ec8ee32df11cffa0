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


@pytest.mark.parametrize(("system", "arrows"), [("metric", 1), ("us", 1)])
def test_what_goes_beyond_the_axis_ends_in_an_arrow(draw, system, arrows):
    set_units(system)
    many = {**RINGS, "mass": 50.0, "pore_size": 1e-6, "inner_porosity": 0.8}
    result = compute(**many)
    assert result.bed.walls.high > 1e5
    chart = draw(MediaByTheKilogram(), result)
    x, y = chart.bars.beyond.get_data()
    assert list(x) == [DECADES] * arrows
    assert list(y) == pytest.approx([ROWS["walls"] + 0.15])
    assert np.nanmax(chart.bars.whiskers.get_xdata()) == DECADES


@pytest.mark.parametrize(("system", "end"), [("metric", 1e5), ("us", 1e6 * 0.3048**2)])
def test_the_axis_ends_where_it_says(draw, system, end):
    set_units(system)
    axis = draw(MediaByTheKilogram(), compute(**RINGS)).axis
    assert axis.place(end) == pytest.approx(DECADES)
    assert axis.is_beyond(1.01 * end)
    assert not axis.is_beyond(0.99 * end)
    assert axis.place(0.0) == axis.place(1e-12) == 0.0


def test_share_in_reach_is_told_where_there_is_some(draw):
    result = compute(**RINGS)
    chart = draw(MediaByTheKilogram(), result)
    assert chart.share.get_visible()
    share = float(chart.share.get_text().split()[0])
    assert share == pytest.approx(100 * result.bed.shell_share, rel=0.05)


def test_without_pores_there_is_one_bar_and_words_say_so(draw):
    chart = draw(MediaByTheKilogram(), compute(**{**RINGS, "inner_porosity": 0.0}))
    shown = {name: block.get_visible() for name, block in chart.bars.blocks.items()}
    assert shown == {"outer_area": True, "in_reach": False, "walls": False}
    assert chart.amounts["walls"].get_text() == "none: no pores"
    assert not chart.share.get_visible()


def test_powers_of_ten_in_words():
    assert [tick(power) for power in (-2, 0, 1, 4, 6)] == ["0.01", "1", "10", "10 000", "million"]
