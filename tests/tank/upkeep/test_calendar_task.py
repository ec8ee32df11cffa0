"""Tasks and their days: against a recurrence library, and what is refused."""

from datetime import date, datetime, timedelta

import numpy as np
import pytest
from dateutil.rrule import DAILY, rrule
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep.calendar import MOST_DAYS, Task, days_of
from aqualib.validity import ValidityError

DAYS = st.dates(date(1990, 1, 1), date(2100, 1, 1))
START = date(2030, 5, 1)


@given(DAYS, st.integers(1, 400), st.integers(-500, 500), st.integers(0, 800))
def test_days_are_those_of_a_recurrence_library(first, every, shift, length):
    start = first + timedelta(shift)
    end = start + timedelta(length)
    as_moments = [datetime.combine(day, datetime.min.time()) for day in (first, end)]
    rule = rrule(DAILY, dtstart=as_moments[0], interval=every, until=as_moments[1])
    wanted = [moment.date() for moment in rule if moment.date() >= start]
    task = Task("Test", first, every)
    assert days_of([task], start, end) == dict.fromkeys(wanted, (task,))


def test_days_hold_tasks_in_the_order_given_and_both_ends():
    daily, weekly = Task("Look", START, 1), Task("Change", START, 7)
    due = days_of([weekly, daily], START, START + timedelta(7))
    assert len(due) == 8
    assert list(due) == sorted(due)
    assert due[START] == due[START + timedelta(7)] == (weekly, daily)
    assert due[START + timedelta(1)] == (daily,)


def test_nothing_falls_before_the_first_day():
    assert days_of([Task("Change", START, 7)], START - timedelta(30), START - timedelta(1)) == {}


def test_text_is_trimmed_and_its_lines_are_one_kind():
    task = Task("  Rinse ", START, np.int64(7), "One\r\ntwo\rthree\n")
    assert (task.what, task.why) == ("Rinse", "One\ntwo\nthree")
    assert type(task.every) is int


@pytest.mark.parametrize("what", ["", "  ", "\n", None, 7, "a\nb", "bell\a", "half \ud800",
                                  "li\u2028ne", "x" * 201])  # fmt: skip
def test_bad_names_are_refused(what):
    with pytest.raises(ValidityError) as refused:
        Task(what, START, 7)
    assert refused.value.parameter == "what"


@pytest.mark.parametrize("why", [None, 3.0, "bell\a", "x" * 2001])
def test_bad_reasons_are_refused(why):
    with pytest.raises(ValidityError) as refused:
        Task("Rinse", START, 7, why)
    assert refused.value.parameter == "why"


@pytest.mark.parametrize(
    "every",
    [0, -1, MOST_DAYS + 1, 7.0, float("nan"), float("inf"), "7", None, True, np.True_, [7]],
)
def test_bad_intervals_are_refused(every):
    with pytest.raises(ValidityError) as refused:
        Task("Rinse", START, every)
    assert refused.value.parameter == "every"


@pytest.mark.parametrize("first", [None, "2030-05-01", datetime(2030, 5, 1), date(1899, 1, 1),
                                   date(9999, 12, 31), float("nan")])  # fmt: skip
def test_bad_days_are_refused(first):
    with pytest.raises(ValidityError) as refused:
        Task("Rinse", first, 7)
    assert refused.value.parameter == "first"


@pytest.mark.parametrize("tasks", [[], None, "Rinse", ["Rinse"], Task("Rinse", START, 7),
                                   [Task("Rinse", START, 7)] * 2])  # fmt: skip
def test_bad_lists_are_refused(tasks):
    with pytest.raises(ValidityError, match="tasks"):
        days_of(tasks, START, START)


@pytest.mark.parametrize("days", [-1, MOST_DAYS + 1])
def test_an_end_that_does_not_go_with_the_start_is_refused(days):
    with pytest.raises(ValidityError, match="end"):
        days_of([Task("Rinse", START, 7)], START, START + timedelta(days))
