import numpy as np
import pytest

from aqualib.lesson.charts.rule_region import COLD, WARM, RuleRegion
from aqualib.lesson.panels.audit_a_rule import audit_panel


@pytest.fixture
def audit():
    panel = audit_panel()
    yield panel
    panel.close()


@pytest.mark.parametrize("settings", [{}, {"rule": 0.3}, {"rule": 10, "temperature": 10}])
def test_names_of_regions_and_lines_stand_where_they_belong(draw, audit, settings):
    audit.set(**settings)
    chart = draw(RuleRegion(), audit.result)
    height = audit.result.celsius_grid
    ends = [np.zeros_like(height), *(np.clip(chart.lines[n].get_xdata(), 0, 1)
            for n in ("low", "high")), np.ones_like(height)]  # fmt: skip
    for words, left, right in zip(chart.names, ends[:-1], ends[1:], strict=True):
        if words.get_visible():
            x, y = words.get_position()
            assert np.interp(y, height, left) <= x <= np.interp(y, height, right)
    assert any(words.get_visible() for words in chart.names)
    for name, words in chart.line_names.items():
        if words.get_visible():
            x, y = words.get_position()
            line = np.interp(y, height, chart.lines[name].get_xdata())
            assert abs(x - line) == pytest.approx(0.012)
            assert words.across == ("left" if x > line else "right")


@pytest.mark.parametrize("celsius", [4.0, 10.0, 24.0, 30.0])
def test_the_name_of_the_tank_stands_beside_its_point_and_on_the_map(draw, audit, celsius):
    for feed, volume in ((0.5, 900), (4, 200), (20, 20)):
        audit.set(temperature=celsius, feed=feed, volume=volume)
        chart = draw(RuleRegion(), audit.result)
        box, sheet = chart.own.get_window_extent(), chart.own.axes.bbox
        assert sheet.x0 - 2 <= box.x0 < box.x1 <= sheet.x1 + 2
        assert sheet.y0 - 2 <= box.y0 < box.y1 <= sheet.y1 + 2
        point = chart.own.axes.transData.transform(np.ravel(chart.point.get_data()))
        assert not (box.x0 < point[0] < box.x1 and box.y0 < point[1] < box.y1)
        assert abs(point[1] - 0.5 * (box.y0 + box.y1)) < 0.35 * sheet.height


def test_the_level_runs_through_the_tank(draw, audit):
    audit.set(temperature=21)
    chart = draw(RuleRegion(), audit.result)
    assert list(chart.level.get_ydata()) == [21.0, 21.0]
    assert chart.level.axes.get_ylim() == (COLD, WARM)
    # What fails is under the regions that are drawn over it.
    assert chart.paper.get_xy()[:, 0].max() == pytest.approx(chart.regions[1].get_xy()[:, 0].max())


def test_the_tank_stands_over_the_strip_as_over_the_map(draw, audit):
    chart = draw(RuleRegion(), audit.result)
    above, below = (point.get_xdata()[0] for point in chart.points)
    assert above == below
    first, last = audit.result.reactor_food
    here = audit.result.feed_density
    verdict = "fed" if here <= first else "best" if here <= last else "fails"
    assert audit.result.nitrate_verdict == verdict


def test_stock_beyond_the_map_has_no_mark(draw, audit):
    audit.set(temperature=4)
    chart, stocks = draw(RuleRegion(), audit.result), audit.result.stocks
    assert stocks["light"] < 0.05 < stocks["heavy"]
    assert [name.get_text() for name in chart.stock_names] == ["", "heavy"]
    assert np.isnan(chart.posts[0].get_xdata()).tolist() == [True, False]
