"""The iCalendar text, read back by an outside library, and its lines."""

from datetime import UTC, date, datetime, timedelta, timezone

import pandas as pd
import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from aqualib.lesson.handout.icalendar import as_icalendar, folded
from aqualib.tank.upkeep.calendar import Task, days_of
from aqualib.validity import ValidityError

START = date(2030, 5, 1)
UNTIL = date(2030, 9, 30)
STAMP = datetime(2030, 4, 30, 12, 0, tzinfo=UTC)
TEXT = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=200)
NAMES = TEXT.filter(lambda text: text.strip())
TASKS = st.builds(Task, NAMES, st.dates(START, UNTIL), st.integers(1, 60), TEXT)
ODD = Task("Water; 10, 20 \\ and \\n", START, 9, 'One: "two"; three, four\\\nfive\\nsix')


def events(text):
    return Calendar.from_ical(text.encode()).walk("VEVENT")


def read_back(event):
    """Return the task that an event holds."""
    return Task(
        str(event["SUMMARY"]),
        event["DTSTART"].dt,
        event["RRULE"]["INTERVAL"][0],
        str(event.get("DESCRIPTION", "")),
    )


def unfolded(text):
    return text.replace("\r\n ", "").split("\r\n")


@given(st.lists(TASKS, min_size=1, max_size=5, unique=True))
def test_an_outside_library_reads_back_the_same_tasks(tasks):
    found = events(as_icalendar(tasks, STAMP, UNTIL))
    assert [read_back(event) for event in found] == tasks
    assert len({str(event["UID"]) for event in found}) == len(tasks)


@given(st.lists(TASKS, min_size=1, max_size=3, unique=True))
def test_days_of_the_events_are_the_days_of_the_tasks(tasks):
    due = {}
    for event, task in zip(events(as_icalendar(tasks, STAMP, UNTIL)), tasks, strict=True):
        first = datetime.combine(event["DTSTART"].dt, datetime.min.time())
        for moment in rrulestr(event["RRULE"].to_ical().decode(), dtstart=first):
            due.setdefault(moment.date(), []).append(task)
    assert {day: tuple(of_day) for day, of_day in due.items()} == days_of(tasks, START, UNTIL)


@pytest.mark.parametrize("task", [ODD, Task("ä" * 100 + "🐟" * 100, START, 1, "水草" * 900)])
def test_signs_that_mean_something_and_long_lines_come_back(task):
    text = as_icalendar([task], STAMP, UNTIL)
    assert [read_back(event) for event in events(text)] == [task]
    assert text.endswith("END:VCALENDAR\r\n")
    lines = text.split("\r\n")
    assert all(len(line.encode()) <= 75 for line in lines)
    assert "\r" not in "".join(lines)
    assert "\n" not in "".join(lines)


def test_escaping_as_the_standard_prints_it():
    text = as_icalendar([ODD], STAMP, UNTIL)
    assert r"SUMMARY:Water\; 10\, 20 \\ and \\n" in unfolded(text)
    assert r'DESCRIPTION:One: "two"\; three\, four\\\nfive\\nsix' in unfolded(text)


def test_the_whole_file():
    text = as_icalendar([Task("Change 40 L of water", START, 14)], STAMP, UNTIL)
    lines = text.split("\r\n")
    assert lines[:6] == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//aqualib//care calendar//EN",
        "X-WR-CALNAME:Care of the aquarium",
        "NAME:Care of the aquarium",
        "BEGIN:VEVENT",
    ]
    assert lines[6].startswith("UID:")
    assert lines[6].endswith("@aqualib")
    assert lines[7:] == [
        "DTSTAMP:20300430T120000Z",
        "DTSTART;VALUE=DATE:20300501",
        "RRULE:FREQ=DAILY;INTERVAL=14;UNTIL=20300930",
        "SUMMARY:Change 40 L of water",
        "TRANSP:TRANSPARENT",
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        "TRIGGER:PT9H",
        "DESCRIPTION:Change 40 L of water",
        "END:VALARM",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ]


def test_each_event_reminds_on_the_morning_of_its_day():
    for event in events(as_icalendar([ODD, Task("Test", START, 7)], STAMP, UNTIL)):
        (alarm,) = event.walk("VALARM")
        assert str(alarm["ACTION"]) == "DISPLAY"
        assert alarm["TRIGGER"].dt == timedelta(hours=9)
        assert str(alarm["DESCRIPTION"]) == str(event["SUMMARY"])


def test_the_calendar_bears_the_name_of_the_tank():
    found = Calendar.from_ical(as_icalendar([ODD], STAMP, UNTIL, "Living-room tank"))
    assert str(found["X-WR-CALNAME"]) == str(found["NAME"]) == "Living-room tank"
    odd = unfolded(as_icalendar([ODD], STAMP, UNTIL, "Tank; 1, 2"))
    assert r"X-WR-CALNAME:Tank\; 1\, 2" in odd
    for name in ("", "two\nlines", 3):
        with pytest.raises(ValidityError, match="name"):
            as_icalendar([ODD], STAMP, UNTIL, name)


@given(st.text(st.characters(exclude_categories=("Cc", "Cs")), max_size=400))
def test_folds_never_cut_a_sign_and_come_undone(line):
    pieces = folded(line).split("\r\n")
    assert all(len(piece.encode()) <= 75 for piece in pieces)
    assert all(piece.startswith(" ") for piece in pieces[1:])
    assert pieces[0] + "".join(piece[1:] for piece in pieces[1:]) == line


@pytest.mark.parametrize(("octets", "pieces"), [(75, 1), (76, 2), (149, 2), (150, 3)])
def test_lines_are_filled_to_75_octets(octets, pieces):
    assert len(folded("x" * octets).split("\r\n")) == pieces


def test_same_tasks_and_stamp_give_the_same_text_in_any_time_zone():
    tasks = [ODD, Task("Test", START, 7)]
    text = as_icalendar(tasks, STAMP, UNTIL)
    assert as_icalendar(iter(tasks), STAMP, UNTIL) == text
    there = STAMP.astimezone(timezone(timedelta(hours=5, minutes=30)))
    assert as_icalendar(tasks, there, UNTIL) == text


def test_a_longer_calendar_keeps_the_names_of_its_events():
    names = [
        [str(event["UID"]) for event in events(as_icalendar([ODD], STAMP, until))]
        for until in (UNTIL, UNTIL + timedelta(90))
    ]
    assert names[0] == names[1]


@pytest.mark.parametrize(
    "other", [{"what": "Water"}, {"first": START + timedelta(1)}, {"every": 8}, {"why": ""}]
)
def test_another_task_has_another_name(other):
    fields = {"what": ODD.what, "first": ODD.first, "every": ODD.every, "why": ODD.why}
    pair = [ODD, Task(**(fields | other))]
    assert len({str(event["UID"]) for event in events(as_icalendar(pair, STAMP, UNTIL))}) == 2


@pytest.mark.parametrize(
    "stamp", [datetime(2030, 5, 1), date(2030, 5, 1), "now", None, 0.0, pd.NaT]
)
def test_a_stamp_without_a_time_zone_is_refused(stamp):
    with pytest.raises(ValidityError, match="stamp"):
        as_icalendar([ODD], stamp, UNTIL)


@pytest.mark.parametrize("until", [START - timedelta(1), date(2199, 1, 1), STAMP, None])
def test_a_bad_last_day_is_refused(until):
    with pytest.raises(ValidityError) as refused:
        as_icalendar([ODD], STAMP, until)
    assert refused.value.parameter == "until"


def test_one_task_that_begins_too_late_is_refused_and_named():
    late = Task("New lamp", UNTIL + timedelta(1), 365)
    with pytest.raises(ValidityError, match="New lamp"):
        as_icalendar([ODD, late], STAMP, UNTIL)


def test_no_tasks_are_refused():
    with pytest.raises(ValidityError, match="tasks"):
        as_icalendar([], STAMP, UNTIL)


def test_what_is_done_once_has_no_rule_and_what_ends_ends():
    once = Task("Begin", START, 3660, last=START)
    while_new = Task("Dose", START, 2, last=START + timedelta(5))
    one, some = events(as_icalendar([once, while_new], STAMP, UNTIL))
    assert "RRULE" not in one
    days = rrulestr(some["RRULE"].to_ical().decode(), dtstart=datetime(2030, 5, 1))
    assert [day.day for day in days] == [1, 3, 5]
    assert sum(while_new.falls_on(START + timedelta(n)) for n in range(30)) == 3
    with pytest.raises(ValidityError, match="last"):
        Task("Dose", START, 2, last=START - timedelta(1))
