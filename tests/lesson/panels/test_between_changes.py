"""The panel of water changes: the picture shows the numbers, and the numbers are the model's."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.lesson.charts.saw_teeth import BAR_LEFT, BAR_WIDTH
from aqualib.lesson.drawing.axes import EDGE
from aqualib.lesson.panels.between_changes import (
    HAIR,
    Routine,
    changes_panel,
    first_passed,
    needed_share,
    teeth,
)
from aqualib.tank.load.nitrogen import ammonia_production
from aqualib.tank.upkeep.water_changes import share_needed, steady_peak, steady_trough
from aqualib.units import Q
from aqualib.water.nitrogen import as_nitrate

SETTINGS = [
    {},
    {"share": 50, "days": 7},
    {"share": 5, "days": 28, "limit": 10, "now": 200},
    {"share": 90, "days": 1, "volume": 1000, "feed": 0.5},
    {"share": 30, "days": 10, "now": 100, "tap": 40},
    {"share": 2, "days": 3, "feed": 20, "volume": 20},
]
ENDLESS = {"share": 0, "feed": 20}
ROUTINES = st.builds(
    Routine,
    st.floats(0.01, 0.9),
    st.integers(1, 28).map(float),
    st.floats(0.05, 50),
    st.floats(0, 50),
    st.floats(0, 200),
)


@pytest.fixture
def changes():
    panel = changes_panel()
    yield panel
    panel.close()


def top(chart):
    return float(chart.marks[-1].get_text())


def by_hand(routine, until):
    """Follow nitrate a day at a time."""
    level, levels = routine.now, []
    for day in range(1, until + 1):
        level += routine.gain
        before = level
        if day % routine.days == 0:
            level = (1 - routine.share) * level + routine.share * routine.tap
        levels.append((before, level))
    return levels


@pytest.mark.parametrize("settings", [*SETTINGS, ENDLESS])
def test_lines_are_the_numbers(changes, settings):
    changes.replay(**settings)
    chart, result = changes.picture.chart, changes.result
    days, heights = chart.teeth.get_data()
    assert days == pytest.approx(result.days)
    assert np.asarray(heights) * top(chart) == pytest.approx(result.nitrate)
    assert days[-1] == 7 * result.weeks
    assert np.max(heights) <= 0.81
    assert chart.now.get_ydata()[0] * top(chart) == pytest.approx(changes.values["now"])
    assert chart.line.get_ydata()[0] * top(chart) == pytest.approx(changes.values["limit"])
    within = chart.within.get_xy()[:, 1].max()
    assert within == pytest.approx(max(changes.values["limit"] / top(chart), EDGE))


@pytest.mark.parametrize("settings", SETTINGS)
def test_bar_is_the_long_run(changes, settings):
    changes.replay(**settings)
    chart, result = changes.picture.chart, changes.result
    heights = chart.bar.get_xy()[:, 1] * top(chart)
    assert heights.min() == pytest.approx(min(result.lowest, top(chart)))
    assert heights.max() == pytest.approx(min(result.highest, top(chart)))
    right = chart.bar.get_xy()[:, 0].max()
    assert right == pytest.approx((BAR_LEFT + BAR_WIDTH) * 7 * result.weeks)
    words = [line.get_text() for line in chart.levels]
    assert words[0].startswith("from ")
    assert words[1].startswith("up to ")
    assert float(words[1].split()[-1]) == pytest.approx(result.highest, rel=0.01)


@pytest.mark.parametrize("settings", SETTINGS)
def test_panel_agrees_with_the_public_functions(changes, settings):
    changes.replay(**settings)
    values, result = changes.values, changes.result
    ammonia = ammonia_production(Q(values["feed"], "g/day"), values["protein"] / 100)
    made = (as_nitrate(ammonia) / Q(values["volume"], "L")).to("mg/L/day")
    assert result.gain == pytest.approx(made.m)
    given = Q(made.m * values["days"], "mg/L"), values["share"] / 100, Q(values["tap"], "mg/L")
    assert result.highest == pytest.approx(steady_peak(*given).m_as("mg/L"))
    assert result.lowest == pytest.approx(steady_trough(*given).m_as("mg/L"))
    assert result.new_water == pytest.approx(
        values["share"] / 100 * values["volume"] * 7 / values["days"]
    )
    if math.isfinite(result.needed):
        share = share_needed(given[0], Q(values["limit"], "mg/L"), given[2])
        assert 0.0 <= result.needed - 100 * share < 1.0


def test_a_worked_case(changes):
    changes.set(feed=1, protein=45, volume=200, share=25, days=14, tap=5, limit=50)
    # 1 g of food, 45 % protein: 41.4 mg of nitrogen, 183.3 mg of nitrate, in 200 L.
    gain = 0.092 * 450 * 62.0049 / 14.007 / 200
    assert changes.result.gain == pytest.approx(gain, rel=1e-4)
    assert changes.result.highest == pytest.approx(14 * gain / 0.25 + 5, rel=1e-4)
    assert changes.result.lowest == pytest.approx(0.75 * 14 * gain / 0.25 + 5, rel=1e-4)
    assert "to 56.3 just before" in changes.sentence
    assert "25 L a week" in changes.sentence


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"feed": 0.9}, "go on as now"),
        ({"feed": 1, "share": 10}, "% every 14 days"),
        ({"days": 28}, "change more often, or feed less"),
        ({"tap": 50}, "find other water"),
    ],
)
def test_the_headline_says_what_to_do(changes, settings, words):
    assert words in changes.replay(**settings)
    if "%" in words:
        assert f"change {changes.result.needed:g} %" in changes.view.answer[1]


@given(ROUTINES)
def test_teeth_are_those_counted_day_by_day(routine):
    days, nitrate = teeth(routine, 84.0)
    levels = by_hand(routine, 84)
    assert (days[0], nitrate[0], days[-1]) == (0.0, routine.now, 84.0)
    for at in range(1, len(days) - 1, 2):
        assert days[at] == days[at + 1]
        assert (nitrate[at], nitrate[at + 1]) == pytest.approx(levels[round(days[at]) - 1])
    which = 1 if 84 % routine.days == 0 else 0
    assert nitrate[-1] == pytest.approx(levels[-1][which])


@given(ROUTINES, st.floats(5, 200))
def test_the_limit_is_first_passed_where_the_teeth_pass_it(routine, limit):
    passed = first_passed(routine, limit)
    if routine.now >= limit:
        assert passed == 0.0
        return
    before = [level for level, _ in by_hand(routine, 400)]
    over = [day for day, level in enumerate(before, 1) if level > limit * (1 + 2 * HAIR)]
    if not over:
        assert passed > 399.0
    else:
        assert over[0] - 1.001 <= passed <= over[0] + 1e-6


@given(ROUTINES, st.floats(5, 200))
def test_the_needed_share_is_just_enough(routine, limit):
    percent = needed_share(routine, limit)
    if math.isinf(percent):
        assert routine.gain * routine.days + routine.tap > limit * (1 - 1e-9)
        return
    assert routine._replace(share=percent / 100).long_run[1] <= limit * (1 + 1e-6)
    if percent > 1:
        less = routine._replace(share=percent / 100 - 0.01)
        assert less.long_run[1] >= limit * (1 - 1e-6)


def test_setting_the_needed_share_keeps_the_limit(changes):
    changes.set(feed=1.5)
    needed = changes.result.needed
    changes.set(share=needed)
    assert "never passes your limit" in changes.sentence
    assert changes.picture.chart.day.get_text() == "never passed"
    changes.set(share=needed - 1)
    assert "first passes your limit" in changes.sentence


def test_the_mark_stands_where_the_limit_is_passed(changes):
    chart, result = changes.picture.chart, changes.result
    (x,), (y,) = chart.cross.get_data()
    assert x == result.passed
    assert y * top(chart) == pytest.approx(result.limit)
    assert np.interp(x, result.days, result.nitrate) == pytest.approx(result.limit)
    assert f"day {math.floor(x) + 1}" in changes.sentence
    assert f"day {math.floor(x) + 1}" in chart.day.get_text()


def test_no_change_rises_without_end(changes):
    changes.set(share=0)
    assert "without end" in changes.sentence
    assert not changes.picture.chart.bar.get_visible()


def test_words_where_nothing_helps(changes):
    changes.set(tap=50, limit=50)
    assert "the new water has too much" in changes.view.answer[1]
    changes.reset()
    changes.set(feed=20, volume=20)
    assert "change more often, or feed less" in changes.view.answer[1]
    changes.reset()
    changes.set(now=120)
    assert "above your limit of 50 mg/L from the start" in changes.sentence
    assert not changes.picture.chart.cross.get_visible()


def test_few_weeks_where_it_settles_soon(changes):
    assert changes.result.weeks == 26
    changes.set(share=60, days=7)
    assert changes.result.weeks == 12


def test_the_same_water_a_week_has_the_same_highest_level_however_often(changes):
    changes.set(share=40, days=14)
    seldom = changes.result
    changes.set(share=20, days=7)
    often = changes.result
    assert often.new_water == pytest.approx(seldom.new_water)
    assert often.highest == pytest.approx(seldom.highest)
    assert often.lowest > seldom.lowest
