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
        x, y = words.get_position()
        edges = np.interp(y, height, left), np.interp(y, height, right)
        assert words.get_visible() == (edges[1] - edges[0] > 0.15)
        assert edges[0] <= x <= edges[1]
    for name, words in chart.line_names.items():
        x, y = words.get_position()
        assert x == pytest.approx(np.interp(y, height, chart.lines[name].get_xdata()))
        if words.get_visible():
            assert 0.0 < x < 1.0


def test_names_keep_away_from_the_tank(draw, audit):
    middle = (COLD + WARM) / 2
    for celsius in (8.0, 26.0):
        audit.set(temperature=celsius)
        chart = draw(RuleRegion(), audit.result)
        heights = {name.get_position()[1] for name in chart.names}
        assert all((height > middle) == (celsius < middle) for height in heights)


def test_the_level_runs_through_the_tank(draw, audit):
    audit.set(temperature=21)
    chart = draw(RuleRegion(), audit.result)
    assert list(chart.level.get_ydata()) == [21.0, 21.0]
    assert chart.level.axes.get_ylim() == (COLD, WARM)
    # What fails is under the regions that are drawn over it.
    assert chart.paper.get_xy()[:, 0].max() == pytest.approx(chart.regions[1].get_xy()[:, 0].max())


@pytest.mark.parametrize(("celsius", "side"), [(10.0, 1.0), (24.0, -1.0)])
def test_tank_and_limit_are_named_on_two_sides_of_the_level(draw, audit, celsius, side):
    audit.set(temperature=celsius)
    chart = draw(RuleRegion(), audit.result)
    own, reading = (words.get_position()[1] - celsius for words in (chart.own, chart.reading))
    assert np.sign([own, reading]).tolist() == [-side, side]


@pytest.mark.parametrize(("celsius", "side"), [(4.0, 1.0), (30.0, -1.0)])
def test_near_an_end_both_names_stand_inside_one_behind_the_other(draw, audit, celsius, side):
    audit.set(temperature=celsius)
    chart = draw(RuleRegion(), audit.result)
    own, reading = (words.get_position()[1] - celsius for words in (chart.own, chart.reading))
    assert np.sign([own, reading]).tolist() == [side, side]
    assert abs(own) > abs(reading) + 1.0


@pytest.mark.parametrize(
    ("feed", "volume", "across"), [(0.5, 900, "left"), (4, 200, "center"), (20, 20, "right")]
)
def test_the_name_of_the_tank_stays_on_the_map(draw, audit, feed, volume, across):
    audit.set(feed=feed, volume=volume)
    assert draw(RuleRegion(), audit.result).own.across == across
