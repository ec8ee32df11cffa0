import dataclasses
from itertools import pairwise

import numpy as np
import pytest

from aqualib.draws import Span
from aqualib.lesson.charts.media_needed import FLOOR, HIGHEST, HeapsOfMedia, sheet_width, text_line
from aqualib.lesson.panels.what_it_needs import needs_panel
from aqualib.units import set_units


@pytest.fixture
def needing():
    panel = needs_panel()
    yield panel.result
    panel.close()


def sides(line):
    return np.ptp(line.get_xdata()), np.ptp(line.get_ydata())


def test_outlines_are_the_ends_of_the_range_at_the_scale_of_the_heap(draw, needing):
    chart = draw(HeapsOfMedia(), needing)
    for water, needed in needing.needed.items():
        best = np.ptp(chart.heaps[water].get_xy(), axis=0)
        for end in ("low", "high"):
            wide, high = sides(chart.outlines[water, end])
            assert wide == pytest.approx(high)
            line = chart.outlines[water, end]
            assert min(line.get_ydata()) == pytest.approx(FLOOR)
            assert np.mean([min(line.get_xdata()), max(line.get_xdata())]) == pytest.approx(
                np.mean(chart.heaps[water].get_xy()[:4, 0])
            )
            volume = getattr(needed.volume, end)
            assert (wide / best[0]) ** 3 == pytest.approx(volume / needed.volume.best)
    assert chart.outlines["fresh", "low"].get_linestyle() == ":"
    assert chart.outlines["fresh", "high"].get_linestyle() == "--"


def test_all_stand_on_the_floor_side_by_side(draw, needing):
    chart = draw(HeapsOfMedia(), needing)
    drawn = [chart.glass, chart.heaps["fresh"], chart.heaps["marine"]]
    boxes = [(p.get_xy().min(axis=0), p.get_xy().max(axis=0)) for p in drawn]
    assert [low[1] for low, _ in boxes] == pytest.approx([FLOOR] * 3)
    for (_, end_of_one), (start_of_next, _) in pairwise(boxes):
        assert end_of_one[0] < start_of_next[0]
    assert boxes[-1][1][0] < 1.0


@pytest.mark.parametrize("system", ["metric", "us"])
def test_a_name_stands_over_its_heap(draw, needing, system):
    set_units(system)
    chart = draw(HeapsOfMedia(), needing)
    for water, heap in chart.heaps.items():
        x, y = chart.names[water].get_position()
        left, right = heap.get_xy()[:, 0].min(), heap.get_xy()[:, 0].max()
        assert left < x < right
        litres = chart.litres[water]
        assert litres.get_position()[1] > heap.get_xy()[:, 1].max()
        # Above the litres, which take two lines where the metric ones stand under them.
        lines = litres.get_text().count("\n") + 1
        assert lines == {"metric": 1, "us": 2}[system]
        assert y - litres.get_position()[1] == pytest.approx(lines * text_line())


def test_a_heap_without_end_is_not_drawn_and_is_called_so(draw, needing):
    endless = Span(10.0, np.inf, np.inf)
    needed = {water: one._replace(mass=endless, volume=endless)
              for water, one in needing.needed.items()}  # fmt: skip
    chart = draw(HeapsOfMedia(), dataclasses.replace(needing, needed=needed))
    assert np.ptp(chart.heaps["fresh"].get_xy()[:, 0]) == 0.0
    assert chart.litres["fresh"].get_text() == "no end"
    assert chart.words["fresh"].get_text() == "no amount at this flow"
    assert len(chart.bars.beyond.get_ydata()) == 2


def test_a_high_tank_needs_a_larger_sheet():
    heaps = {"fresh": [5.0, 8.0, 20.0]}
    high = HIGHEST * 225.0
    assert sheet_width(60.0, high - 5.1, heaps) == 225.0
    assert sheet_width(60.0, high - 4.9, heaps) == 320.0
