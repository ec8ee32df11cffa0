"""The plan as text to send: short lines, few of them, and the page's verdict."""

import dataclasses
import unicodedata

import pytest
from plans_to_print import HOSTILE, START, SYSTEMS

from aqualib.lesson.handout import first_of_all, plan_words
from aqualib.lesson.handout.plan_text import COLUMNS, LINES, as_plan_text
from aqualib.tank.plan import make_plan
from aqualib.units import UNIT_SETS, Q, set_units


@pytest.mark.parametrize("units", UNIT_SETS)
@pytest.mark.parametrize("name", SYSTEMS)
def test_it_is_short_and_has_the_verdict_of_the_page(plans, name, units):
    set_units(units)
    text = as_plan_text(plans[name])
    lines = text.splitlines()
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= COLUMNS
    flowing = " ".join(text.split())
    assert first_of_all.in_short(plans[name]) in flowing
    assert "Local rules and licensed practice come first." in flowing
    assert "What would help, the best first: - " in flowing


def test_what_was_cut_off_is_told_and_the_start_is_not(plans):
    text = as_plan_text(plans["twelve trays"])
    assert plan_words.first_weeks(plans["twelve trays"]).lines[-1].term in text
    assert ("(More stands on the page of the plan.)" in text) == ("In animals" not in text)


@pytest.mark.parametrize("typed", HOSTILE, ids=range(len(HOSTILE)))
def test_a_name_turns_no_line_round_and_breaks_none(plan, typed):
    named = dataclasses.replace(plan, system=dataclasses.replace(plan.system, name=typed))
    lines, plain = (as_plan_text(one).splitlines() for one in (named, plan))
    head = next(at for at, line in enumerate(lines) if line.startswith("Plan of "))
    assert "".join("".join(lines[:head]).split()).strip("\u2068\u2069") == "".join(typed.split())
    assert lines[head : head + 20] == plain[1:21]
    turned = any(unicodedata.bidirectional(sign) in {"R", "AL", "RLO"} for sign in typed)
    assert (lines[0][0] == "\u2068") == turned


def test_who_has_only_the_text_can_start_a_filter(plan):
    said = " ".join(as_plan_text(plan).split())
    for words in (
        "Each day 0.53 g of ammonium chloride",
        "leave it out while ammonia reads above 5 mg/L",
        "Then stop dosing, change most of the water, and put in a third of the animals",
        "If not: no animals",
        "2030-03-27 and 2030-04-03: If GO was a week ago or more: the next third",
        "Test ammonia, nitrite and alkalinity every second day",
        "Empty the settling space",
        "Clean 20 % of the biological media",
        "16 mJ/cm² in a pass",
        "254 kWh a year",
        "Not told: water: alkalinity 120 mg/L",
    ):
        assert words in said
    assert "More stands on the page" not in said


@pytest.mark.parametrize("name", SYSTEMS)
def test_every_line_of_the_page_stands_in_the_text(plans, name):
    said = " ".join(as_plan_text(plans[name]).split())
    for part in (plan_words.flow, plan_words.care, plan_words.first_weeks, plan_words.assumed):
        for line in part(plans[name]).lines:
            assert " ".join(f"{line.term}: {line.words}".split()) in said


def test_small_things_are_said_as_a_keeper_says_them(plans):
    nothing = " ".join(as_plan_text(plans["too heavy"]).split())
    assert "a tank of 0 L" not in nothing
    assert "there are no media to weigh" in nothing
    assert "Lamp: none." in nothing
    daily = plans["example"].system.changed("care", clean_every=Q(1, "day"))
    said = " ".join(as_plan_text(make_plan(daily, START, doubt=False)).split())
    assert "then every day: Rinse the coarse pad" in said
    assert "every 1 day" not in said
    heavy = plans["example"].system.changed("stock", food=Q(900, "g/day"), fish=None)
    said = " ".join(as_plan_text(make_plan(heavy, START, doubt=False)).split())
    assert "stock: fish 108 kg" in said


def test_a_measured_flow_far_from_the_sum_gets_a_word(plan):
    """150 of 743 L/h: a fifth."""
    for litres, words in ((150, "you measured 20 % of it"), (700, ""), (1100, "less than you")):
        told = plan.system.changed("pump", measured_flow=Q(litres, "L/h"))
        said = plan_words.flow_words(make_plan(told, START, doubt=False, changes=False))
        assert words in said
        assert ("The sum gives 743 L/h" in said) == bool(words)
