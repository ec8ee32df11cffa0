"""The plan as a calendar: an outside library reads the start once, and the care again and again."""

import dataclasses
from datetime import date, datetime, time, timedelta

import pytest
from dateutil.rrule import rrulestr
from icalendar import Calendar
from plans_to_print import HOSTILE, START, SYSTEMS

from aqualib.lesson.handout import as_plan_page, as_plan_text
from aqualib.lesson.handout.handing_out import files_of
from aqualib.lesson.handout.icalendar import escaped
from aqualib.lesson.handout.plan_calendar import as_plan_calendar
from aqualib.lesson.handout.plan_words import tasks_of
from aqualib.lesson.handout.reminders import NEW, go_date
from aqualib.tank.plan import dated_start, example_system, make_plan
from aqualib.units import Q
from aqualib.validity import ValidityError

UNTIL = date(2031, 3, 2)


def events(text):
    return Calendar.from_ical(text).walk("VEVENT")


def days_of_event(event):
    first = datetime.combine(event["DTSTART"].dt, time())
    return [day.date() for day in rrulestr(event["RRULE"].to_ical().decode(), dtstart=first)]


def test_each_step_of_the_start_stands_on_its_day_and_only_once(plan):
    found = events(as_plan_calendar(plan, UNTIL, new=True))
    steps = [e for e in found if str(e["SUMMARY"]).startswith(NEW) and "RRULE" not in e]
    due = dated_start(plan.start, plan.first_weeks, "0.53 g")
    assert [e["DTSTART"].dt for e in steps] == [step.day for step in due]
    said = [f"{e['SUMMARY']} {e.get('DESCRIPTION', '')}" for e in steps]
    for words, step in zip(said, due, strict=True):
        assert set(step.words.replace(".", "").split()) <= set(words.replace(".", "").split())


@pytest.mark.parametrize(
    "write",
    [as_plan_page, as_plan_text, lambda plan: as_plan_calendar(plan, UNTIL, new=True)],
    ids=["page", "text", "calendar"],
)
def test_no_paper_lets_in_more_animals_than_the_filter_carries(write):
    heavy = make_plan(example_system().changed("stock", food=Q(6, "g/day")), START, changes=False)
    words = " ".join(write(heavy).replace("\r\n ", "").split())
    assert heavy.verdict == "too much"
    assert "Stop here: 3.2 g of food a day is what this filter carries" in words
    assert "next third" not in words
    assert "next third" in " ".join(write(make_plan(example_system(), START)).split())


def test_the_dose_and_the_tests_come_again_until_go(plan):
    """GO is on day 18: 17 doses after the first, none of them with an animal in the tank."""
    go = go_date(plan)
    assert go == START + timedelta(18)
    found = {
        str(e["SUMMARY"]): e
        for e in events(as_plan_calendar(plan, UNTIL, new=True))
        if str(e["SUMMARY"]).startswith(NEW) and "RRULE" in e
    }
    doses = days_of_event(found[f"{NEW}0.53 g of ammonium chloride, if no animals are in"])
    assert doses == [START + timedelta(n) for n in range(1, 18)]
    early = START + timedelta(12)
    every_other = days_of_event(found[f"{NEW}Test ammonia, nitrite and alkalinity"])
    assert every_other == [START + timedelta(n) for n in (5, 7, 9, 11)]
    daily = days_of_event(found[f"{NEW}Test ammonia and nitrite"])
    assert daily[0] == early + timedelta(1)
    assert daily[-1] == go + timedelta(14)
    for event in found.values():
        assert event.walk("VALARM")
        said = str(event["DESCRIPTION"])
        assert "ammonia 0.95 mg/L, nitrite 0.10 mg/L" in said or "above 5 mg/L" in said


def test_care_of_a_new_filter_begins_with_go_and_an_old_one_has_no_start(plan):
    old, new = (as_plan_calendar(plan, UNTIL, new=new) for new in (False, True))
    assert NEW not in old
    assert "no animals" not in old
    changes = [
        next(e for e in events(text) if str(e["SUMMARY"]).startswith("Change "))["DTSTART"].dt
        for text in (old, new)
    ]
    assert changes == [START + timedelta(3), go_date(plan) + timedelta(3)]


def test_a_new_filter_without_a_day_has_no_calendar(plans):
    none = make_plan(example_system().changed("hose", lift=Q(3, "m")), START, doubt=False)
    with pytest.raises(ValidityError, match="no day"):
        as_plan_calendar(none, UNTIL, new=True)
    assert not any(name.startswith("new filter") for name in files_of(none))
    assert any(name.startswith("new filter") for name in files_of(plans["example"]))


def test_a_tank_that_stands_high_begins_with_small_changes():
    """19 L are a tenth of 190; 3 days apart, for 4 weeks; then the change that holds the limit."""
    high = example_system().changed("readings", nitrate=Q(159, "mg/L"))
    _, small, full, *_ = tasks_of(make_plan(high, START, doubt=False, changes=False))
    assert (small.what, small.every, small.last) == (
        "Change only 19.0 L of water",
        3,
        START + timedelta(28),
    )
    assert (full.what, full.first) == ("Change 43.8 L of water", START + timedelta(31))
    assert "Test ammonia, pH and alkalinity first" in small.why


def test_care_comes_again_and_reminds(plan):
    found = {str(e["SUMMARY"]): e for e in events(as_plan_calendar(plan, UNTIL))}
    for task in tasks_of(plan):
        days = days_of_event(found[task.what])
        assert days[0] == task.first
        assert days[1:2] in ([], [task.first + timedelta(task.every)])
        assert days[-1] <= UNTIL
        assert found[task.what].walk("VALARM")


@pytest.mark.parametrize("name", SYSTEMS)
def test_every_plan_makes_a_calendar(plans, name):
    found = events(as_plan_calendar(plans[name], UNTIL))
    assert len(found) >= 3
    assert len({str(e["UID"]) for e in found}) == len(found)


@pytest.mark.parametrize("typed", HOSTILE, ids=range(len(HOSTILE)))
def test_a_name_adds_no_event(plan, typed):
    named = dataclasses.replace(plan, system=dataclasses.replace(plan.system, name=typed))
    text = as_plan_calendar(named, UNTIL)
    assert len(events(text)) == len(events(as_plan_calendar(plan, UNTIL)))
    # The library does not take the signs of a property that it does not know apart.
    named_in_file = str(Calendar.from_ical(text)["X-WR-CALNAME"])
    assert named_in_file == escaped(f"Filter plan: {typed.strip()}")
