"""A keeper's own log from the file to the report: whatever is wrong with it, words come out."""

import io
from datetime import date, timedelta

import pytest

from aqualib.tank.test_log.file_to_report import NO_FILE, own_log
from aqualib.tank.test_log.keepers_tank import own_tank
from aqualib.units import Q

HEAD = "date,ammonia as N,nitrite as N,nitrate as N,pH\n"


def of(text, *told, **more):
    return own_log(io.StringIO(text), *told, **more)


def test_without_a_file_it_is_the_invented_log():
    found = own_log()
    lines = str(found).splitlines()
    assert lines[0] == NO_FILE
    assert lines[1].startswith("Tank: the invented tank of the lesson (100 L")
    assert lines[2].startswith("Day 23: ")
    assert found.can_be_drawn


def test_the_report_says_whose_tank_it_is_before_anything_is_forecast():
    rows = "".join(f"2026-03-{d:02d},1,0.5,{d},7.5\n" for d in range(1, 9, 2))
    words = str(of(HEAD + rows, own_tank(volume=Q(54, "L"))))
    tank, tonight, to_do, day = words.splitlines()[:4]
    assert tank.startswith(
        "Tank: yours (54 L of water). Not told, so taken from the invented one: "
    )
    assert tonight.startswith("Day 6: ")
    assert to_do.startswith("To do: ")
    assert day.startswith(("Safe for good", "No day can be named"))
    assert "log: 16 readings in 6 days" in words


def test_questions_come_first_and_all_at_once():
    text = "Date,Ammonia (ppm),NO2,NO3\n03/04/2026,0.5,1,10\n03/06/2026,0.5,1,10\n"
    found = of(text)
    lines = str(found).splitlines()
    assert [line.startswith("Please say: ") for line in lines] == [True, True, False, False]
    assert lines[2] == "No reading of ammonia, nitrite or nitrate can be used yet."
    assert not found.can_be_drawn
    answered = of(text, basis="ion", dates="month first")
    assert answered.can_be_drawn
    assert "Please say" not in str(answered)


def test_what_can_be_used_is_used_while_the_rest_is_asked():
    text = "date,ammonia as N,nitrite as N,NO3,pH\n" + "".join(
        f"2026-03-0{d},{d - 1},0.1,10,7.5\n" for d in range(1, 9)
    )
    words = str(of(text))
    assert words.startswith("Please say: are the numbers under “NO3”")
    assert "\nSafe for good" in words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Not read: log = an empty file"),
        ("rubbish\n1;2\n", "Not read: line 1"),
        ("date,pH\n2026-03-02,7\n", "No reading of ammonia, nitrite or nitrate"),
    ],
)
def test_a_file_that_says_nothing_is_answered_in_words(text, words):
    found = of(text)
    assert words in str(found)
    assert not found.can_be_drawn


def test_a_file_that_is_not_there():
    assert str(own_log("no-such-log.csv")).startswith(
        "Not read: there is no file 'no-such-log.csv'"
    )


def test_a_log_of_years_is_judged_by_tonight():
    start = date(2020, 1, 1)
    rows = "".join(f"{start + timedelta(d)},0,0,{5 + d % 7},7.5\n" for d in range(0, 800, 7))
    found = of(HEAD + rows)
    assert "No day can be named. The log is longer than the 400 days" in str(found)
    assert "Nothing tonight" in str(found)
    assert not found.can_be_drawn


@pytest.mark.parametrize("last", [90, 370])
def test_a_long_log_is_read_to_its_last_day(last):
    start = date(2026, 1, 1)
    rows = "".join(f"{start + timedelta(d)},0,0,{5 + d},7.5\n" for d in range(1, last + 1, 10))
    found = of(HEAD + rows)
    assert found.report.tonight.day == found.log.last_day > last - 20
    assert "already carries the planned load" in str(found)
