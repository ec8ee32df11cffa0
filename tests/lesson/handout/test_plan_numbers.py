"""The plan as JSON: read back it is the same, what is broken is refused, and nothing is lost."""

import dataclasses
import json
import math
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plans_to_print import HOSTILE, START, SYSTEMS

from aqualib.lesson.handout.plan_numbers import (
    FILE,
    as_plan_json,
    keep_plan,
    last_plan,
    read_plan,
    written,
)
from aqualib.tank.plan import make_plan
from aqualib.units import UNIT_SETS, Q, set_units
from aqualib.validity import ValidityError

EARLIER = "plan.earlier.json"


@pytest.mark.parametrize("name", SYSTEMS)
def test_read_back_it_is_the_same(plans, name):
    plan = plans[name]
    found, whole = read_plan(as_plan_json(plan)), written(plan)
    assert found.system == plan.system
    assert found.start == START
    assert found.words == whole.words
    assert found.numbers == pytest.approx(whole.numbers, rel=1e-5, nan_ok=True)


def test_the_numbers_are_those_of_the_plan(plan):
    table = json.loads(as_plan_json(plan))["plan"]
    assert table["verdict"] == plan.verdict
    assert table["food_carried_g_per_day"] == pytest.approx(plan.carried.best.m, rel=1e-5)
    assert table["cleaning_due_days"] == pytest.approx(plan.due.m, rel=1e-5)
    assert table["cost_per_year"] == pytest.approx(plan.cost, rel=1e-5)
    assert table["best_change"] == plan.best_change.words


def test_what_has_no_end_is_a_word_and_what_is_none_is_null(plans):
    plan = make_plan(SYSTEMS["example"].changed("care", change=Q(0, "percent")), START, doubt=False)
    assert json.loads(as_plan_json(plan))["plan"]["nitrate_mg_per_L"] == "no end"
    assert math.isinf(read_plan(as_plan_json(plan)).numbers["nitrate_mg_per_L"])
    heavy = json.loads(as_plan_json(plans["too heavy"]))["plan"]
    assert (heavy["ready_days"] is None) == (plans["too heavy"].first_weeks.ready is None)


@pytest.mark.parametrize("typed", HOSTILE, ids=range(len(HOSTILE)))
def test_a_name_comes_back_as_it_was(plan, typed):
    named = dataclasses.replace(plan, system=dataclasses.replace(plan.system, name=typed))
    assert read_plan(as_plan_json(named)).system.name == typed.strip()


@settings(max_examples=50)
@given(st.data())
def test_a_broken_text_is_refused_in_words(data):
    text = TEXT[0]
    at, to = sorted(data.draw(st.tuples(*[st.integers(0, len(text))] * 2)))
    broken = text[:at] + data.draw(st.text(max_size=4)) + text[to:]
    # Read, or refused in words, and nothing else.
    with suppress(ValidityError):
        assert read_plan(broken).numbers


TEXT = [as_plan_json(make_plan(SYSTEMS["example"], START, doubt=False, changes=False))]


@pytest.mark.parametrize(
    "text", [None, 3, "", "[]", "{}", '{"format": "aqualib plan"}', "[" * 9999]
)
def test_what_is_no_plan_is_refused(text):
    with pytest.raises(ValidityError):
        read_plan(text)


def test_the_plan_before_is_kept_beside_the_new_one(tmp_path, plans):
    assert last_plan(tmp_path) is None
    first, second = as_plan_json(plans["example"]), as_plan_json(plans["marine"])
    assert keep_plan(plans["example"], tmp_path).read_text(encoding="utf-8") == first
    keep_plan(plans["example"], tmp_path)
    assert not (tmp_path / EARLIER).exists()
    keep_plan(plans["marine"], tmp_path)
    assert (tmp_path / FILE).read_text(encoding="utf-8") == second
    assert (tmp_path / EARLIER).read_text(encoding="utf-8") == first
    assert last_plan(tmp_path).system == plans["marine"].system


def test_a_folder_that_is_not_there_is_refused(tmp_path, plan):
    with pytest.raises(ValidityError, match="folder"):
        keep_plan(plan, tmp_path / "nowhere")


@pytest.mark.parametrize("units", UNIT_SETS)
def test_it_says_what_page_and_text_say_and_in_one_unit_set(plan, units):
    metric = as_plan_json(plan)
    set_units(units)
    assert as_plan_json(plan) == metric
    table = json.loads(metric)
    assert table["assumed"]["pump.price"].startswith("0.300")
    assert len(table["assumed"]) == len(plan.assumed)
    start = {line["term"]: line["words"] for line in table["if_the_filter_is_new"]}
    assert "Each day 0.53 g of ammonium chloride" in start["2030-03-02"]
    assert {"term": "2030-03-05, then every 3 days", "words": "Change 43.8 L of water."} in table[
        "care"
    ]
    assert [one["change"] for one in table["changes"]] == [c.words for c in plan.changes[:6]]
    assert table["first"].startswith("First: ")
    assert read_plan(metric).system == plan.system
