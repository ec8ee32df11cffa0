"""A task of a keeper that comes back every so many days, and which day brings which."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from operator import index
from typing import SupportsIndex, cast

from aqualib.validity import ValidityError

MOST_DAYS = 3660
"""Ten years: the longest gap between two days of a task, and the longest calendar."""
FIRST_YEAR, LAST_YEAR = 1900, 2199
MOST_SIGNS = {"what": 200, "why": 2000}


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do on the day `first` and every so many days after it, and why."""

    what: str
    first: date
    every: int
    why: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "what", _text("what", self.what))
        object.__setattr__(self, "why", _text("why", self.why))
        a_day("first", self.first)
        object.__setattr__(self, "every", whole_days("every", self.every))

    def falls_on(self, day: date) -> bool:
        """Return whether the task is due on a day."""
        return day >= self.first and (day - self.first).days % self.every == 0


def a_day(name: str, value: object) -> date:
    """Return a date, or raise; a time of day is refused, since a whole day is meant."""
    valid = f"a date in the years {FIRST_YEAR} to {LAST_YEAR}, such as date(2030, 5, 1)"
    if not isinstance(value, date) or isinstance(value, datetime):
        raise ValidityError(name, repr(value)[:60], valid, "", "is no date")
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ValidityError(name, value.isoformat(), valid, "", "is out of range")
    return value


def whole_days(name: str, value: object, most: int = MOST_DAYS) -> int:
    """Return a whole number from 1 to `most`, or raise."""
    valid = f"1 to {most} (whole number)"
    try:
        number = index(cast("SupportsIndex", value))
    except TypeError:
        raise ValidityError(name, repr(value)[:60], valid, "", "is no whole number") from None
    if isinstance(value, bool):
        raise ValidityError(name, repr(value), valid, "", "is no whole number")
    if not 1 <= number <= most:
        raise ValidityError(name, str(number)[:60], valid, "", "is out of range")
    return number


def _text(name: str, value: object) -> str:
    """Return text without spaces about it, or raise; only `why` may be empty or have lines."""
    most = MOST_SIGNS[name]
    valid = f"text of at most {most} signs" if name == "why" else f"one line of 1 to {most} signs"
    if not isinstance(value, str):
        raise ValidityError(name, repr(value)[:60], valid, "", "is no text")
    text = value.replace("\r\n", "\n").replace("\r", "\n").strip()
    allowed = "\n" if name == "why" else ""
    for sign in text:
        # Controls, halves of a sign, and breaks of line or paragraph that are no "\n".
        if unicodedata.category(sign) in {"Cc", "Cs", "Zl", "Zp"} and sign not in allowed:
            raise ValidityError(name, repr(value)[:60], valid, "", f"holds the sign {sign!r}")
    if len(text) > most:
        raise ValidityError(name, f"{len(text)} signs", valid, "", "is too long")
    if not text and name == "what":
        raise ValidityError(name, repr(value)[:60], valid, "", "is empty")
    return text


def checked(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """Return tasks as a tuple, or raise: at least one, all of them tasks, none of them twice."""
    valid = "a list of different Task(...)"
    if isinstance(tasks, Task | str) or not isinstance(tasks, Iterable):
        raise ValidityError("tasks", repr(tasks)[:60], valid, "", "is no list")
    found = tuple(tasks)
    if not found:
        raise ValidityError("tasks", "()", valid, "", "is empty")
    for at, task in enumerate(found):
        if not isinstance(task, Task):
            raise ValidityError(f"tasks[{at}]", repr(task)[:60], valid, "", "is no task")
        if task in found[:at]:
            raise ValidityError(f"tasks[{at}]", repr(task.what)[:60], valid, "", "is there twice")
    return found


def days_of(tasks: Iterable[Task], start: date, end: date) -> dict[date, tuple[Task, ...]]:
    """Return what is to be done on which day, from `start` to `end`, both included.

    Days without work are left out; tasks of a day stand in the order given.
    """
    found, first, last = checked(tasks), a_day("start", start), a_day("end", end)
    if not 0 <= (last - first).days <= MOST_DAYS:
        valid = f"{first} or later, at most {MOST_DAYS} days"
        raise ValidityError("end", str(last), valid, "", "does not go with the start")
    days = (first + timedelta(n) for n in range((last - first).days + 1))
    due = ((day, tuple(task for task in found if task.falls_on(day))) for day in days)
    return {day: of_day for day, of_day in due if of_day}
