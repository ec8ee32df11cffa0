import numpy as np
import pytest

from aqualib.lesson.charts.media_by_the_kilogram import ROOM, ROWS, MediaByTheKilogram
from aqualib.lesson.panels.kilograms_of_media import compute
from aqualib.units import set_units

RINGS = {"kind": "porous rings", "mass": 1.0, "size": 0.015, "inner_porosity": 0.55,
         "voidage": 0.6, "pore_size": 2e-4, "working_depth": 3e-4, "price": 12.0}  # fmt: skip


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_axis_is_set_by_the_outside_and_even(draw, system):
    """The surface to count fills a good part of it, whatever the pores promise on paper."""
    set_units(system)
    result = compute(**RINGS)
    axis = draw(MediaByTheKilogram(), result).axis
    assert 0.2 < axis.place(result.bed.outer_area.best) <= 1.0 / ROOM
    assert axis.place(0.2) == pytest.approx(2.0 * axis.place(0.1))
    assert axis.place(0.0) == 0.0
    assert float(axis.numbers.marks[-1].get_text()) == axis.end


@pytest.mark.parametrize("system", ["metric", "us"])
def test_what_goes_beyond_the_axis_ends_in_an_arrow(draw, system):
    set_units(system)
    chart = draw(MediaByTheKilogram(), compute(**RINGS))
    x, y = chart.bars.beyond.get_data()
    assert list(x) == [1.0, 1.0]
    assert list(y) == pytest.approx([ROWS[name] + 0.15 for name in ("in_reach", "walls")])
    assert np.nanmax(chart.bars.whiskers.get_xdata()) == 1.0


def test_pore_walls_are_told_as_times_the_outside(draw):
    result = compute(**RINGS)
    words = draw(MediaByTheKilogram(), result).amounts["walls"].get_text()
    times = result.bed.walls.best / result.bed.outer_area.best
    assert float(words.split(", ")[1].split()[0]) == pytest.approx(times, rel=0.05)


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_price_is_that_of_a_unit_of_outside(draw, system):
    set_units(system)
    result = compute(**RINGS)
    words = draw(MediaByTheKilogram(), result).cost.get_text()
    unit, factor = {"metric": ("m²", 1.0), "us": ("ft²", 0.3048**2)}[system]
    assert words.startswith(f"price of 1 {unit} to count: ")
    assert float(words.split()[-1]) == pytest.approx(12.0 / 0.71 * factor, rel=0.05)


def test_without_pores_there_is_one_bar_and_words_say_so(draw):
    chart = draw(MediaByTheKilogram(), compute(**{**RINGS, "inner_porosity": 0.0}))
    shown = {name: block.get_visible() for name, block in chart.bars.blocks.items()}
    assert shown == {"outer_area": True, "in_reach": False, "walls": False}
    assert chart.amounts["walls"].get_text() == "none: no pores"
