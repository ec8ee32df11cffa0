"""What changed between two plans, in words."""

import pytest
from plans_to_print import START, SYSTEMS

from aqualib.lesson.handout.plan_numbers import as_plan_json, read_plan
from aqualib.lesson.handout.what_changed import NOTHING, what_changed
from aqualib.tank.plan import make_plan
from aqualib.units import Q, set_units


@pytest.mark.parametrize("name", SYSTEMS)
def test_of_one_plan_and_its_file_nothing_has_changed(plans, name):
    assert what_changed(read_plan(as_plan_json(plans[name])), plans[name]) == (NOTHING,)


def test_less_food_is_told_with_what_it_means(plan):
    less = make_plan(plan.system.changed("stock", food=Q(1.5, "g/day")), START, doubt=False)
    assert less.verdict == "comfortable"
    words = what_changed(plan, less)
    assert words[0] == "The verdict was “tight”, now it is “comfortable”."
    assert "You give 1.50 g/day; before, 3.50 g/day." in words
    assert "You told stock: food: 1.50 g/day; before, 3.50 g/day." in words
    assert not any(line.startswith("The flow") for line in words)


def test_a_tray_and_a_measured_flow(plan):
    filter_ = plan.system.filter
    fewer = filter_.changed(trays=filter_.trays[:-1])
    new = make_plan(
        plan.system.changed("filter", trays=fewer.trays).changed(
            "pump", measured_flow=Q(600, "L/h")
        ),
        START,
    )
    words = "\n".join(what_changed(plan, new))
    assert "The media weigh 0 kg; before, 1.80 kg." in words
    assert "You told pump: measured flow: 600 L/h; before, left open." in words
    assert "You told filter, tray 5: holds: left open; before, porous rings." in words


def test_it_speaks_the_readers_units(plan):
    slow = make_plan(plan.system.changed("pump", measured_flow=Q(600, "L/h")), START, doubt=False)
    set_units("us")
    assert any("US gal/h (" in line for line in what_changed(plan, slow))


def test_a_reading_above_its_line_comes_first_and_no_key_is_shown(plan):
    """At pH 7.6 and 24.5 °C animals bear 0.95 mg/L for long: 5 is an alarm, not a number."""
    read = make_plan(plan.system.changed("readings", ammonia=Q(5, "mg/L")), START, doubt=False)
    words = what_changed(plan, read)
    assert words[0].startswith("Before anything else: Ammonia reads 5 mg/L")
    assert "Feed nothing tonight" in words[0]
    assert "You told readings: ammonia: 5 mg/L; before, left open." in words
    assert "_" not in "".join(words)
