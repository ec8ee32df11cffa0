"""What lesson 15 says in words of the invented tank: true of its plan as it is."""

import json
import re
from datetime import date
from pathlib import Path

import pytest

from aqualib.lesson.panels.your_filter_plan import plan_panel
from aqualib.tank.plan import VERDICTS, example_system, gains, make_plan

LESSONS = Path(__file__).parents[2] / "lessons"


@pytest.fixture(scope="module")
def plan():
    return make_plan(example_system(), date(2030, 3, 2))


@pytest.fixture(scope="module")
def panel():
    made = plan_panel()
    yield made
    made.close()


def carried(panel, **change):
    panel.replay(**change)
    return panel.result.carried.best, panel.result.limiting


def test_more_media_help_but_not_twofold_and_room_for_dirt_is_next(plan, panel):
    once, limiting = carried(panel)
    twice, still = carried(panel, media=3.6)
    assert (limiting, still) == ("surface", "surface")
    assert 1.2 * once < twice < 1.5 * once
    assert carried(panel, media=5.4)[1] == "dirt"
    assert plan.now.pad_area > plan.now.media_area


def test_with_pads_rinsed_too_seldom_the_same_media_gain_nothing(panel):
    seldom, limiting = carried(panel, interval=90)
    assert limiting == "dirt"
    assert panel.result.changes[0].name == "clean twice as often"
    more, limiting = carried(panel, interval=90, media=3.6)
    assert limiting == "dirt"
    assert more == pytest.approx(seldom, rel=1e-3)


def test_no_change_carries_more_two_lower_nitrate_and_one_makes_it_worse(plan):
    gained = {one.name: gains(plan.now, one.after) for one in plan.changes}
    assert max(one.food for one in gained.values()) == 0
    assert {name for name, one in gained.items() if one.nitrate > 0} == {
        "feed a quarter less",
        "change more water",
    }
    assert {name for name, one in gained.items() if one.food < 0} == {"media for the fine pad"}
    hose = next(one for one in plan.changes if one.name == "a wider hose")
    assert hose.after.flow_due > 1.05 * plan.now.flow_due


def test_the_span_is_wide_and_the_verdicts_are_those_of_the_text(plan):
    low, _, high = plan.carried
    assert high > 2 * low
    assert VERDICTS == ("comfortable", "tight", "too much")
    assert plan.verdict == "tight"


def test_the_start_has_the_dates_that_lesson_03_prints():
    """One band of the ready day, in the lesson and in the plan, and so one set of dates."""
    lesson = json.loads((LESSONS / "03-maturing-a-filter.ipynb").read_text(encoding="utf-8"))
    printed = json.dumps([cell.get("outputs", []) for cell in lesson["cells"]])
    dates = set(re.findall(r"2030-\d\d-\d\d", printed))
    start = date(2030, 3, 2)
    told = {str(step.day) for step in make_plan(example_system(), start).dated_start("", "")}
    assert len(dates) >= 5
    assert dates <= told
