"""The plan as a calendar: an outside library reads the start once, and the care again and again."""

import dataclasses
from datetime import date, datetime, time, timedelta

import pytest
from dateutil.rrule import rrulestr
from icalendar import Calendar
from plans_to_print import HOSTILE, START, SYSTEMS

from aqualib.lesson.handout import as_plan_page, as_plan_text
from aqualib.lesson.handout.icalendar import escaped
from aqualib.lesson.handout.plan_calendar import as_plan_calendar
from aqualib.lesson.handout.plan_words import tasks_of
from aqualib.tank.plan import dated_start, example_system, make_plan
from aqualib.units import Q

UNTIL = date(2031, 3, 2)


def events(text):
    return Calendar.from_ical(text).walk("VEVENT")


def days_of_event(event):
    first = datetime.combine(event["DTSTART"].dt, time())
    return [day.date() for day in rrulestr(event["RRULE"].to_ical().decode(), dtstart=first)]


def test_each_step_of_the_start_stands_on_its_day_and_only_once(plan):
    found = events(as_plan_calendar(plan, UNTIL))
    steps = [e for e in found if str(e["SUMMARY"]).startswith("New filter: ")]
    due = dated_start(plan.start, plan.first_weeks, "0.53 g")
    assert [days_of_event(e) for e in steps] == [[step.day] for step in due]
    said = [f"{e['SUMMARY']} {e.get('DESCRIPTION', '')}" for e in steps]
    for words, step in zip(said, due, strict=True):
        assert set(step.words.replace(".", "").split()) <= set(words.replace(".", "").split())


@pytest.mark.parametrize(
    "write",
    [as_plan_page, as_plan_text, lambda plan: as_plan_calendar(plan, UNTIL)],
    ids=["page", "text", "calendar"],
)
def test_no_paper_lets_in_more_animals_than_the_filter_carries(write):
    heavy = make_plan(example_system().changed("stock", food=Q(6, "g/day")), START, changes=False)
    words = " ".join(write(heavy).replace("\r\n ", "").split())
    assert heavy.verdict == "too much"
    assert "Stop here: 3.2 g of food a day is what this filter carries" in words
    assert "next third" not in words
    assert "next third" in " ".join(write(make_plan(example_system(), START)).split())


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
