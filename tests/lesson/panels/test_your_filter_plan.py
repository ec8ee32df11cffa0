"""The panel of lesson 15 shows the plan's own numbers, and ranks anew when the hand rests."""

import math

import pytest

from aqualib.lesson.panels.your_filter_plan import moved, plan_panel
from aqualib.tank.plan import (
    Filter,
    System,
    Tray,
    example_system,
    filled,
    make_plan,
)
from aqualib.units import UNIT_SETS, Q, set_units


@pytest.fixture(scope="module")
def panel():
    made = plan_panel()
    yield made
    made.close()


def plan_of(system):
    return make_plan(system, doubt=False)


def test_it_opens_on_the_plan_of_the_example(panel):
    panel.reset()
    plan, shown = plan_of(example_system()), panel.result
    assert shown.carried == pytest.approx([end.m for end in plan.carried])
    assert (shown.verdict, shown.limiting) == (plan.verdict, plan.limiting)
    assert shown.now.days == pytest.approx(plan.due.m)
    assert shown.now.nitrate == pytest.approx(plan.nitrate.m)
    assert [one.name for one in shown.changes] == [one.name for one in plan.changes]
    assert [one.food for one in shown.changes] == pytest.approx(
        [86400e3 * one.after.carried.feed.best for one in plan.changes]
    )


def test_a_slider_is_the_same_as_telling_it(panel):
    panel.replay(feed=2.0, media=1.0, temperature=22.0, interval=20.0, change=50.0)
    told = example_system()
    trays = (*told.filter.trays[:-1], Tray("porous rings", Q(90, "mm"), Q(1, "kg")))
    told = told.changed("filter", trays=trays).changed("water", temperature=Q(22, "degC"))
    told = told.changed("care", clean_every=Q(20, "day"), change=Q(50, "percent"))
    plan = plan_of(told.changed("stock", food=Q(2, "g/day"), solids=Q(0.9 * 2 / 3.5, "g/day")))
    assert panel.result.carried == pytest.approx([end.m for end in plan.carried], rel=1e-6)
    assert panel.result.now.days == pytest.approx(plan.due.m, rel=1e-6)
    assert panel.result.now.nitrate == pytest.approx(plan.nitrate.m, rel=1e-6)
    panel.reset()


def test_media_that_no_longer_fit_raise_their_tray():
    base = filled(example_system())[0]
    more = moved(base, base.feed, 3.6, base.clean_every, base.temperature, base.change)
    assert more.media[0].media == 3.6
    assert more.media[0].height == pytest.approx(3.6 / 450 / base.floor)
    assert moved(base, base.feed, 1.0, 1e6, 300.0, 0.1).media[0].height == base.media[0].height


def test_while_the_hand_moves_it_is_near_the_whole_sum(panel):
    rough = panel.compute(**{name: control.bare for name, control in panel.controls.items()})
    assert not rough.ranked
    assert math.isnan(rough.now.days)
    assert rough.carried == pytest.approx(panel.result.carried, rel=0.02)


def test_answers_have_an_action(panel):
    said = {feed: panel.replay(feed=feed) for feed in (0.5, 3.5, 12.0)}
    panel.reset()
    assert "leave it as it is" in said[0.5]
    assert "feed no more, and test" in said[3.5]
    assert "feed less, or change it" in said[12.0]


@pytest.mark.parametrize("units", UNIT_SETS)
def test_the_unit_set_changes_no_plan(panel, units):
    panel.reset()
    before = panel.result.now
    set_units(units)
    panel.set(feed=3.5, media=1.8, temperature=24.5)
    assert panel.result.now == before
    set_units("metric")


def test_it_takes_a_system_of_ones_own():
    """Its sliders begin at the system's numbers, though they lie outside the lesson's ranges."""
    trays = (Tray("coarse pad", Q(80, "mm")), Tray("nothing", Q(300, "mm")))
    mine = System(filter=Filter(trays, "box", Q(60, "cm"), Q(60, "cm"))).changed(
        "stock", food=Q(90, "g/day")
    )
    made = plan_panel(mine)
    plan = plan_of(mine)
    assert made.values["feed"] == 90
    assert made.result.carried == pytest.approx([end.m for end in plan.carried], rel=0.02)
    assert "media in the empty tray" in [one.name for one in made.result.changes]
    made.close()
