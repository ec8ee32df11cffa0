import pytest

from aqualib.lesson.charts.slice_of_piece import (
    HIGHEST,
    KEY_AT,
    LINES,
    MARKS,
    SliceOfPiece,
    plain,
    reach,
)
from aqualib.lesson.drawing import style
from aqualib.lesson.panels.slice_a_piece import slice_panel
from aqualib.units import Q, set_units


@pytest.fixture
def slice_():
    panel = slice_panel()
    yield panel
    panel.close()


@pytest.mark.parametrize("system", ["metric", "us"])
def test_ticks_tell_the_depth_at_their_place(draw, slice_, system):
    set_units(system)
    chart = draw(SliceOfPiece(), slice_.result)
    unit = {"metric": "mm", "us": "inch"}[system]
    deep = Q(reach(slice_.result.working), "m").m_as(unit)
    for tick in chart.ticks:
        place = tick.get_position()[0]
        assert float(tick.get_text()) == pytest.approx(-place * deep, rel=0.05)


def test_film_ends_where_the_line_stands(draw, slice_):
    chart, working = draw(SliceOfPiece(), slice_.result), slice_.result.working
    edge = chart.edge.get_xdata()
    assert -edge[0] * reach(working) == pytest.approx(working.piece.film)


def test_a_line_has_its_name_and_its_marker_beside_it(draw, slice_):
    chart = draw(SliceOfPiece(), slice_.result)
    for species, (name, look) in LINES.items():
        curve, words = chart.curves[species], chart.names[species]
        assert words.get_text() == name
        assert curve.get_marker() == look.marker
        assert curve.get_ydata()[-1] == words.get_position()[1]
        marked = curve.get_xdata()[list(curve.get_markevery())]
        assert list(marked) == [*MARKS, KEY_AT]
        assert words.get_position()[0] > KEY_AT


def test_a_substance_that_is_not_there_has_no_line(draw, slice_):
    slice_.set(organic_matter=0)
    chart = draw(SliceOfPiece(), slice_.result)
    assert not chart.curves["organic carbon"].get_visible()
    assert not chart.names["organic carbon"].get_visible()


def test_a_plain_look_keeps_all_but_the_hatch():
    look = plain(style.SOLIDS)
    assert (look.hatch, look.colour) == ("", style.SOLIDS.colour)


def test_the_range_stands_over_the_mark_it_belongs_to(draw, slice_):
    chart = draw(SliceOfPiece(), slice_.result)
    mark, over = chart.working.get_ydata(), chart.range.get_ydata()
    assert mark[0] == mark[1] < over[0] == over[1] < HIGHEST
    assert chart.reading.get_position()[1] < mark[0]
