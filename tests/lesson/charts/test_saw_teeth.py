import dataclasses

import numpy as np
import pytest

from aqualib.lesson.charts.saw_teeth import BAR_LEFT, Changes, SawTeeth, when

CHANGES = Changes(
    share=25.0, every=14.0, gain=1.0, tap=5.0, now=10.0, litres=200.0,
    limit=50.0, weeks=12, days=np.array([0.0, 14.0, 14.0, 84.0]),
    nitrate=np.array([10.0, 24.0, 19.0, 60.0]), lowest=42.0, highest=56.0, passed=60.0, needed=31.0,
)  # fmt: skip


def top(chart):
    return float(chart.marks[-1].get_text())


def test_dotted_lines_lead_from_the_long_run_to_its_bar(draw):
    chart = draw(SawTeeth(), CHANGES)
    for line, level in ((chart.lowest, 42.0), (chart.highest, 56.0)):
        x, y = line.get_data()
        assert list(x) == pytest.approx([0.0, BAR_LEFT * 84.0])
        assert np.array(y) * top(chart) == pytest.approx([level] * 2)
    heights = [words.get_position()[1] * top(chart) for words in chart.levels]
    assert heights == pytest.approx([42.0, 56.0], abs=0.08 * top(chart))
    assert heights[0] < heights[1]


def test_a_long_run_far_above_is_left_above_the_picture(draw):
    chart = draw(SawTeeth(), dataclasses.replace(CHANGES, highest=900.0))
    assert top(chart) < 100.0
    assert not chart.highest.get_visible()
    assert chart.lowest.get_visible()
    assert chart.bar.get_xy()[:, 1].max() == 1.0


def test_passing_the_limit_is_crossed(draw):
    chart = draw(SawTeeth(), CHANGES)
    assert list(chart.drop.get_xdata()) == [60.0, 60.0]
    assert chart.cross.get_data()[0] == [60.0]
    never = draw(SawTeeth(), dataclasses.replace(CHANGES, passed=np.inf))
    assert not never.cross.get_visible()


def test_when_in_words():
    assert when(np.inf) == "never passed"
    assert when(0.0) == "passed from the start"
    assert when(3.2) == "first passed on day 4"


@pytest.mark.parametrize(("weeks", "step"), [(12, 2), (26, 4)])
def test_weeks_are_numbered_to_their_end(draw, weeks, step):
    chart = draw(SawTeeth(), dataclasses.replace(CHANGES, weeks=weeks))
    ticks = {int(t.get_text()): t.get_position()[0] for t in chart.line.axes.get_xticklabels()}
    assert ticks == {week: 7.0 * week for week in range(0, weeks + 1, step)}
