"""The page to print: its table holds the days and tasks, and it stands alone."""

from datetime import date, timedelta
from html.parser import HTMLParser

import pytest

from aqualib.lesson.handout.page import BLANKS, as_page
from aqualib.tank.upkeep.calendar import TEST_WATER, Task, days_of
from aqualib.validity import ValidityError

START = date(2030, 5, 1)
TASKS = [
    Task("Change 40 L of water", START + timedelta(14), 14, "Nitrate"),
    Task("Test", START, 7, "Two\nlines"),
    Task("<b>Odd</b> & \"odd\" 'names'", START, 5, "a < b & c"),
]


class Reader(HTMLParser):
    """Collects the cells of each row, the boxes, and checks that tags close."""

    void = frozenset({"meta", "!doctype"})

    def __init__(self):
        super().__init__()
        self.open, self.rows, self.boxes, self.tags = [], [], 0, set()

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        if tag not in self.void:
            self.open.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in {"th", "td"}:
            self.rows[-1].append("")
        if tag == "li":
            self.rows[-1][-1] += "|"
        self.boxes += ("class", "box") in attrs

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "td" in self.open or "th" in self.open:
            self.rows[-1][-1] += data


def read(text):
    reader = Reader()
    reader.feed(text)
    assert reader.open == []
    return reader


@pytest.mark.parametrize("weeks", [1, 4, 26])
def test_table_holds_every_day_and_every_task(weeks):
    reader = read(as_page(TASKS, START, weeks))
    due = days_of(TASKS, START, START + timedelta(7 * weeks - 1))
    found = {
        date.fromisoformat(row[0].split()[-1]): row[1].split("|")[1:]
        for row in reader.rows
        if len(row) == 2 and row[0][:3] in {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
    }
    assert found == {day: [task.what for task in of_day] for day, of_day in due.items()}
    assert reader.boxes == sum(map(len, due.values()))
    assert sum(row[0].startswith("Week ") for row in reader.rows) == weeks


def test_days_of_the_week_are_right():
    text = as_page([Task("Look", START, 1)], START, 1)
    for day in (START + timedelta(n) for n in range(7)):
        assert f"{day:%a} {day}" in text


def test_reasons_stand_below():
    rows = read(as_page(TASKS, START, 2)).rows
    assert ["every 14 days", "Change 40 L of water", "Nitrate"] in rows
    assert ["every 5 days", TASKS[2].what, "a < b & c"] in rows
    assert read(as_page([Task("Look", START, 1)], START, 1)).rows[-1][0] == "every day"


def test_a_week_without_work_says_so():
    text = as_page([Task("New lamp", START + timedelta(10), 365)], START, 2)
    assert text.count("Nothing to do") == 1


def test_page_needs_nothing_else_and_is_black_and_white():
    text = as_page(TASKS, START, 4)
    assert text.startswith("<!DOCTYPE html>")
    assert not read(text).tags & {"script", "img", "link", "iframe", "b"}
    assert "http" not in text
    assert {word for word in text.replace(";", " ").split() if word.startswith("#")} == {
        "#000",
        "#fff",
    }
    assert as_page(TASKS, START, 4) == text


@pytest.mark.parametrize("weeks", [0, 521, 1.5, float("nan"), None, "4", True])
def test_bad_weeks_are_refused(weeks):
    with pytest.raises(ValidityError, match="weeks"):
        as_page(TASKS, START, weeks)


def test_bad_lists_and_days_are_refused():
    with pytest.raises(ValidityError, match="tasks"):
        as_page([], START, 4)
    with pytest.raises(ValidityError, match="start"):
        as_page(TASKS, "today", 4)


def test_a_page_that_nobody_would_print_is_refused():
    daily = [Task(f"Look {n}", START, 1) for n in range(6)]
    assert as_page(daily[:1], START, 520).count('class="box"') == 3640
    assert as_page(daily[:5], START, 520).count('class="box"') == 5 * 3640
    with pytest.raises(ValidityError, match="weeks = 520 would make 21840 boxes to tick"):
        as_page(daily, START, 520)


def test_the_page_bears_the_name_of_the_tank():
    text = as_page(TASKS, START, 1, "Tank <b> & two")
    assert "<h1>Tank &lt;b&gt; &amp; two, 2030-05-01 to 2030-05-07</h1>" in text
    with pytest.raises(ValidityError, match="name"):
        as_page(TASKS, START, 1, "")


def test_a_test_of_the_water_has_room_for_its_readings():
    test, change = (Task(what, START, 7) for what in (TEST_WATER, "Change 40 L of water"))
    assert as_page([test], START, 2).count('class="blank"') == 2 * len(BLANKS)
    assert 'class="blank"' not in as_page([change], START, 2)
