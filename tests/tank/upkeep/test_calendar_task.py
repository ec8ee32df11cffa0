"""Tasks and their days: against a recurrence library, and what is refused."""

from datetime import date, datetime, timedelta
from itertools import count, repeat

import numpy as np
import pytest
from dateutil.rrule import DAILY, rrule
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep.calendar import MOST_DAYS, MOST_TASKS, Task, days_of
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


def test_so_many_tasks_and_no_more():
    many = [Task(f"Look {n}", START, 1) for n in range(MOST_TASKS + 1)]
    assert days_of(many[:-1], START, START) == {START: tuple(many[:-1])}
    with pytest.raises(ValidityError, match="more than 200 are too many"):
        days_of(many, START, START)


def test_a_list_without_an_end_is_refused():
    with pytest.raises(ValidityError, match="too many"):
        days_of((Task(f"Look {n}", START, 1) for n in count()), START, START)
    with pytest.raises(ValidityError, match=r"tasks\[1\] = 'Look' is there twice"):
        days_of(repeat(Task("Look", START, 1)), START, START)


def test_tasks_are_not_each_compared_with_all_before():
    compared = []

    class Watched(Task):
        def __eq__(self, other):
            compared.append(other)
            return super().__eq__(other)

        __hash__ = Task.__hash__

    days_of([Watched(f"Look {n}", START, 1) for n in range(MOST_TASKS)], START, START)
    assert len(compared) < MOST_TASKS


@pytest.mark.parametrize("day", [None, "2030-05-01", datetime(2030, 5, 1)])
def test_a_task_falls_on_days_only(day):
    with pytest.raises(ValidityError, match="day"):
        Task("Look", START, 1).falls_on(day)


@pytest.mark.parametrize("days", [-1, MOST_DAYS + 1])
def test_an_end_that_does_not_go_with_the_start_is_refused(days):
    with pytest.raises(ValidityError, match="end"):
        days_of([Task("Rinse", START, 7)], START, START + timedelta(days))
