"""The plan as text to send: short lines, few of them, and the page's verdict."""

import dataclasses
import unicodedata

import pytest
from plans_to_print import HOSTILE, SYSTEMS

from aqualib.lesson.handout import plan_words
from aqualib.lesson.handout.plan_text import COLUMNS, LINES, as_plan_text
from aqualib.units import UNIT_SETS, set_units


@pytest.mark.parametrize("units", UNIT_SETS)
@pytest.mark.parametrize("name", SYSTEMS)
def test_it_is_short_and_has_the_verdict_of_the_page(plans, name, units):
    set_units(units)
    text = as_plan_text(plans[name])
    lines = text.splitlines()
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= COLUMNS
    flowing = " ".join(text.split())
    assert plan_words.in_short(plans[name]) in flowing
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
