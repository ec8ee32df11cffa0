"""Nitrate and alkalinity in words: sums by hand, and one advice on every paper."""

from datetime import timedelta

import pytest
from plans_to_print import START

from aqualib.lesson.handout.new_water_words import alkalinity_words, water_words
from aqualib.lesson.handout.plan_calendar import as_plan_calendar
from aqualib.lesson.handout.plan_page import as_plan_page
from aqualib.lesson.handout.plan_text import as_plan_text
from aqualib.tank.plan import VERDICTS, example_system, make_plan
from aqualib.tank.plan.new_water import KEEPER
from aqualib.units import Q


def plan_of(system):
    return make_plan(system, START, doubt=False)


def test_the_soda_of_a_week_by_hand(plan):
    """0.138 g N a day take 7.14 × 0.969 = 6.92 g a week; 102 L bring 40 mg/L each, 4.09 g."""
    nitrogen = 7 * 0.092 * 0.43 * 3.5
    brought = 43.78 / 3 * 7 * 0.040
    soda = 1.6787 * (7.145 * nitrogen - brought)
    assert f"bacteria use up {7.145 * nitrogen:.1f} g a week" in alkalinity_words(plan)
    assert f"{soda:.1f} g of baking soda a week, in daily parts, holds 80 mg/L" in alkalinity_words(
        plan
    )
    assert "test ammonia first" in alkalinity_words(plan)


def test_the_sea_is_given_no_soda_and_its_new_water_salt(plans):
    assert "soda" not in alkalinity_words(plans["marine"])
    assert "up to salinity 35" in water_words(plans["marine"])
    assert "salt" not in water_words(plans["example"])


def test_no_soda_is_told_where_it_would_pile_up():
    """45 g of food: 45 × 0.092 × 0.43 × 7.145 × 7 = 89 g a week, were it all turned over."""
    much = plan_of(example_system().changed("stock", food=Q(45, "g/day")))
    assert much.verdict == VERDICTS[-1]
    high = Q(much.now.carried.feed.high, "kg/s").m_as("g/day")
    used = high * 0.092 * 0.43 * 7.145 * 7
    assert f"bacteria use up {used:.2g} g a week" in alkalinity_words(much)
    assert "baking soda" not in alkalinity_words(much)
    hard = plan_of(example_system().changed("water", alkalinity=Q(280, "mg/L")))
    assert "baking soda" not in alkalinity_words(hard)


@pytest.mark.parametrize("food", [0.5, 3.5, 60])
def test_page_text_calendar_and_changes_give_one_advice(food):
    plan = plan_of(example_system().changed("stock", food=Q(food, "g/day")))
    litres = {0.5: "57.0 L", 3.5: "43.8 L", 60: "57.0 L"}[food]
    days = {0.5: 14, 3.5: 3, 60: 14}[food]
    assert f"{litres} (" in water_words(plan)
    assert f"every {days} days" in water_words(plan)
    for write in (as_plan_page, as_plan_text):
        said = " ".join(write(plan).split())
        assert water_words(plan) in said
        assert f"Change {litres} of water." in said
    ics = as_plan_calendar(plan, START + timedelta(300))
    assert f"INTERVAL={days};" in ics[: ics.index("SUMMARY:Change ")].rsplit("BEGIN:VEVENT")[-1]
    more = [one for one in plan.changes if one.name == "change more water"]
    assert bool(more) == (food == 3.5)
    for one in more:
        assert one.words == "Change 23 % of the water every 3 days"


def test_small_changes_of_the_calendar_stand_in_the_words_whatever_they_rest_on():
    """0.5 g a day are less than the habit holds; nitrate of 300 asks for a tenth all the same."""
    light = example_system().changed("stock", food=Q(0.5, "g/day"))
    high = plan_of(light.changed("readings", nitrate=Q(300, "mg/L")))
    assert high.changing.ground == KEEPER
    assert "begin with 19.0 L (10 %) every 4 days" in water_words(high)
    assert "Change only 19.0 L of water" in " ".join(as_plan_text(high).split())
    assert "begin with" not in water_words(plan_of(light))


def test_less_than_the_keeper_changes_is_called_a_choice():
    plan = plan_of(example_system().changed("stock", food=Q(0.5, "g/day")))
    assert "is your choice" in water_words(plan)
    assert "never more than half" in water_words(plan_of(example_system()))
