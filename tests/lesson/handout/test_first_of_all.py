"""What stands first: the readings, then the verdict, then what to do; and no verdict on nobody."""

import pytest
from plans_to_print import START

from aqualib.lesson.handout.first_of_all import (
    BEFORE,
    NO_VERDICT,
    action,
    byline,
    first_thing,
    in_short,
)
from aqualib.lesson.handout.plan_numbers import written
from aqualib.lesson.handout.plan_page import as_plan_page
from aqualib.lesson.handout.plan_text import as_plan_text
from aqualib.tank.plan import System, example_system, make_plan
from aqualib.units import Q


def plan_of(system, *, changes=False):
    return make_plan(system, START, doubt=False, changes=changes)


@pytest.mark.parametrize("write", [as_plan_page, as_plan_text])
def test_a_reading_above_its_line_stands_above_the_verdict(write):
    read = plan_of(example_system().changed("readings", ammonia=Q(5, "mg/L"), nitrite=Q(3, "mg/L")))
    said = " ".join(write(read).split())
    places = [
        said.index(words) for words in (BEFORE, "Ammonia reads 5", "Nitrite reads 3", "Carries 3.2")
    ]
    assert places == sorted(places)
    assert said.count("Ammonia reads 5") == 1
    assert BEFORE not in write(plan_of(example_system()))


@pytest.mark.parametrize("write", [as_plan_page, as_plan_text])
def test_the_first_thing_to_do_stands_before_every_part(write):
    said = " ".join(write(plan_of(example_system(), changes=True)).split())
    first = said.index("First: feed a quarter less")
    for later in ("What would help", "Changes, the one", "Flow, pads, nitrate", "Care of a filter"):
        assert said.find(later) == -1 or said.index(later) > first


def test_where_neither_food_nor_fish_was_told_nobody_is_judged():
    plan = plan_of(System())
    assert "not yours" in in_short(plan)
    assert "You give" not in in_short(plan)
    assert action(plan) == ""
    assert written(plan).words["verdict"] == NO_VERDICT
    told = System(filter=example_system().filter)
    assert "Neither food nor fish" in in_short(plan_of(told))
    nothing = plan_of(told.changed("stock", food=Q(0, "g/day")))
    assert in_short(nothing).endswith("No food is given: no verdict.")
    fish = plan_of(told.changed("stock", fish=Q(300, "g")))
    assert in_short(fish).endswith(f": {fish.verdict}.")


def test_a_flow_that_got_lost_is_found_first_however_light_the_stock():
    light = example_system().changed("stock", food=Q(0.3, "g/day"))
    lost = plan_of(light.changed("pump", measured_flow=Q(100, "L/h")), changes=True)
    assert lost.verdict == "comfortable"
    assert first_thing(lost).startswith("First: find what takes the flow")


def test_a_filter_that_nobody_told_is_not_judged():
    plan = plan_of(System().changed("stock", food=Q(1, "g/day")))
    assert "What stands in the filter was not told" in in_short(plan)
    assert first_thing(plan).startswith("First: open the filter")
    assert written(plan).words["verdict"] == NO_VERDICT


def test_where_no_change_is_enough_it_is_said_with_the_food_that_would_be():
    """45 g are given where some 3 are carried: fourteen such filters."""
    much = plan_of(example_system().changed("stock", food=Q(45, "g/day")), changes=True)
    low, best, high = (end.m for end in much.carried)
    said = first_thing(much)
    assert f"feed {low:.1f} g a day, {high:.1f} g at most" in said
    assert f"{45 / best:.0f} times as large" in said
    assert "no one change below is enough" in said
    some = example_system().changed("stock", food=Q(6, "g/day"))
    assert "no one change" not in first_thing(plan_of(some, changes=True))


def test_comfortable_says_of_what_and_what_of_nitrate():
    """A gram a day: 0.092 × 0.43 × 4.43 × 14 / 190 are 12.9 mg/L in 14 days; over 0.3, and 8."""
    light = example_system().changed("stock", food=Q(1, "g/day"))
    assert action(plan_of(light)).startswith("Bacteria and pads do it")
    assert "nitrate comes to 51 mg/L" in action(plan_of(light))
    none = action(plan_of(light.changed("care", change=Q(0, "percent"))))
    assert "nitrate climbs without end" in none
    half = action(plan_of(light.changed("stock", food=Q(0.5, "g/day"))))
    assert "nitrate" not in half


def test_without_flow_the_lamp_goes_off_and_the_water_is_made_to_flow():
    still = plan_of(example_system().changed("hose", lift=Q(3, "m")))
    assert first_thing(still).startswith("First: switch the lamp off, and get water to flow")
    assert "switch it off until it does" in as_plan_text(still)


@pytest.mark.parametrize(
    ("salinity", "name"),
    [
        (0, "of fresh water"),
        (12, "of brackish water (salinity 12)"),
        (35, "of sea water (salinity 35)"),
    ],
)
def test_water_is_called_by_its_name(salinity, name):
    plan = plan_of(System().changed("water", salinity=salinity))
    assert name in byline(plan)
    assert name in " ".join(as_plan_text(plan).split())
