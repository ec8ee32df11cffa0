"""The one change of water that is advised: worked out by hand."""

from datetime import date

import pytest

from aqualib.tank.plan import example_system, make_plan
from aqualib.tank.plan.new_water import KEEPER, NITRATE, NO_END, in_steps
from aqualib.units import SECONDS_PER_DAY, Q


def advice(**care):
    food = care.pop("food", 3.5)
    system = example_system().changed("stock", food=Q(food, "g/day"))
    if care:
        system = system.changed("care", **care)
    return make_plan(system, date(2030, 3, 2), doubt=False, changes=False).changing


def test_more_than_half_is_never_changed_at_once():
    """The example makes 3.23 mg/L of nitrate a day; 42 mg/L are free: 7.68 % a day, 54 % a week."""
    found = advice()
    gain = 0.092 * 0.43 * 3500 * 62.005 / 14.007 / 190
    assert found.share / found.every == pytest.approx(gain / (50 - 8), rel=2e-3)
    assert 7 * gain / 42 > 0.5
    assert (found.every, found.ground) == (3, NITRATE)
    for pace, days in ((0.07, 7), (0.1, 7), (0.9, 1), (0.05, 14)):
        share, every = in_steps(pace / SECONDS_PER_DAY, days)
        assert share <= 0.5
        assert share == pytest.approx(min(pace * every, 0.5))


def test_it_is_never_less_than_the_keeper_changes_now():
    found = advice(food=0.5)
    assert (found.share, found.every, found.ground) == (pytest.approx(0.3), 14, KEEPER)
    assert found.weekly < 0.15 * 0.19
    much = advice(change=Q(70, "percent"), change_every=Q(7, "day"), food=0.5)
    assert (much.share, much.every) == (pytest.approx(0.3), 3)


def test_where_no_change_holds_the_limit_the_habit_stays():
    found = advice(food=60)
    assert (found.share, found.every, found.ground) == (pytest.approx(0.3), 14, NO_END)


def test_small_changes_are_together_no_less_than_now():
    """30 % in 7 days are 4.3 % a day: a tenth every second day keeps up, every third would not."""
    system = example_system().changed("readings", nitrate=Q(159, "mg/L"))
    system = system.changed("care", change=Q(30, "percent"), change_every=Q(7, "day"))
    found = make_plan(system, date(2030, 3, 2), doubt=False, changes=False).changing
    assert (found.small, found.small_every) == (0.1, 2)
    assert advice().small == 0.0


def small_of(system):
    found = make_plan(system, date(2030, 3, 2), doubt=False, changes=False).changing
    return found.ground, found.small, found.small_every


def test_a_reading_asks_for_small_changes_whatever_they_rest_on():
    system = example_system().changed("stock", food=Q(0.5, "g/day"))
    high = system.changed("readings", nitrate=Q(300, "mg/L"))
    assert small_of(system)[:2] == (KEEPER, 0.0)
    # 30 % in 14 days: a tenth every four days keeps up.
    assert small_of(high) == (KEEPER, 0.1, 4)


def test_nobody_begins_anew_to_change_hardly_more_than_now():
    """47 or 48 % a week, where 54 are asked, are hardly less; 30 % in 14 days are a third."""
    unread = example_system().changed("readings", nitrate=None)
    for percent in (47, 48):
        care = {"change": Q(percent, "percent"), "change_every": Q(7, "day")}
        assert small_of(unread.changed("care", **care)) == (NITRATE, 0.0, 0)
    assert small_of(unread) == (NITRATE, 0.1, 3)
