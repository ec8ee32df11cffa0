"""The tasks that a plan brings with it, as a calendar to read, to print or to load."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import count, islice
from operator import index
from typing import Any, SupportsIndex, cast

from aqualib.arguments import one_number
from aqualib.parameters import parameter
from aqualib.units import shown
from aqualib.validity import Range, ValidityError, quoted

MOST_DAYS = 3660
"""Ten years: the longest gap between two days of a task, and the longest calendar."""
MOST_TASKS = 200
FIRST_YEAR, LAST_YEAR = 1900, 2199
MOST_SIGNS = {"what": 200, "why": 2000}
WATER = Range(0.01, 1e6, "L")
CARBON = Range(0.1, 1e6, "g")
SHARE = Range(0.01, 1)
UNPLUG = "Unplug everything in the water before a hand goes in."
SAME_WATER = "Rinse in water taken from the tank: chlorine in tap water kills the bacteria."
CHANGE = (
    "Takes out nitrate and what else piles up. New water as warm as the tank's, in the sea as "
    "salty too, no chlorine."
)
TEST = (
    "Ammonia, nitrite, nitrate, pH and alkalinity. Write the readings down: a change over weeks "
    "tells more than one number."
)
MEDIA = "Only a part at a time, so that enough bacteria stay for the ammonia of the day."
LAMP = (
    "It still glows when it has grown too weak. Follow the maker's instructions; never look at "
    "a lit ultraviolet lamp."
)
FRESH_CARBON = "A portion fills up, then takes no more out."
FRESH_WATER = "Only water leaves as vapour; salts stay. Top up with water that has no salt."
SWITCH = (
    "Press the test button of the residual-current switch (RCD, GFCI): the power must go off. If "
    "it does not, use nothing on it and call a licensed electrician. Local codes come first."
)
SLUDGE = "What lies there rots and uses up oxygen."
RINSE = "A full pad lets less water through."
TEST_WATER = "Test the water and write it down"
WEEK, APART = 7, 2
"""Days: each rinsing has a weekday of its own, so many days before that of the one before it."""


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do on the day `first` and every so many days after it, and why.

    With a day `last` it ends there; where that is `first` itself it is done once.
    """

    what: str
    first: date
    every: int
    why: str = ""
    last: date | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "what", one_line("what", self.what))
        object.__setattr__(self, "why", _text("why", self.why, MOST_SIGNS["why"]))
        a_day("first", self.first)
        object.__setattr__(self, "every", whole_days("every", self.every))
        if self.last is not None and a_day("last", self.last) < self.first:
            raise ValidityError(
                "last", str(self.last), f"{self.first} or later", "", "is too early"
            )

    @property
    def once(self) -> bool:
        """Whether it is done once."""
        return self.last is not None and (self.last - self.first).days < self.every

    def falls_on(self, day: date) -> bool:
        """Return whether the task is due on a day."""
        past = (a_day("day", day) - self.first).days
        ended = self.last is not None and day > self.last
        return past >= 0 and past % self.every == 0 and not ended


def a_day(name: str, value: object) -> date:
    """Return a date, or raise; a time of day is refused, since a whole day is meant."""
    valid = f"a date in the years {FIRST_YEAR} to {LAST_YEAR}, such as date(2030, 5, 1)"
    if not isinstance(value, date) or isinstance(value, datetime):
        raise ValidityError(name, quoted(value), valid, "", "is no date")
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ValidityError(name, value.isoformat(), valid, "", "is out of range")
    return value


def whole_days(name: str, value: object, most: int = MOST_DAYS) -> int:
    """Return a whole number from 1 to `most`, or raise."""
    valid = f"1 to {most} (whole number)"
    try:
        number = index(cast("SupportsIndex", value))
    except TypeError:
        raise ValidityError(name, quoted(value), valid, "", "is no whole number") from None
    if isinstance(value, bool):
        raise ValidityError(name, repr(value), valid, "", "is no whole number")
    if not 1 <= number <= most:
        raise ValidityError(name, str(number)[:60], valid, "", "is out of range")
    return number


def one_line(name: str, value: object) -> str:
    """Return one line of text without spaces about it, or raise."""
    return _text(name, value, MOST_SIGNS["what"])


def _text(name: str, value: object, most: int) -> str:
    """Return text without spaces about it, or raise; only `why` may be empty or have lines."""
    valid = f"text of at most {most} signs" if name == "why" else f"one line of 1 to {most} signs"
    if not isinstance(value, str):
        raise ValidityError(name, quoted(value), valid, "", "is no text")
    text = value.replace("\r\n", "\n").replace("\r", "\n").strip()
    allowed = "\n" if name == "why" else ""
    for sign in text:
        # Controls, halves of a sign, and breaks of line or paragraph that are no "\n".
        if unicodedata.category(sign) in {"Cc", "Cs", "Zl", "Zp"} and sign not in allowed:
            raise ValidityError(name, quoted(value), valid, "", f"holds the sign {sign!r}")
    if len(text) > most:
        raise ValidityError(name, f"{len(text)} signs", valid, "", "is too long")
    if not text and name != "why":
        raise ValidityError(name, quoted(value), valid, "", "is empty")
    return text


def checked(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """Return tasks as a tuple, or raise: at least one, all of them tasks, none of them twice."""
    valid = f"a list of 1 to {MOST_TASKS} different Task(...)"
    if isinstance(tasks, Task | str) or not isinstance(tasks, Iterable):
        raise ValidityError("tasks", quoted(tasks), valid, "", "is no list")
    # One more than may be, so that a list without an end is found out too.
    found = tuple(islice(tasks, MOST_TASKS + 1))
    if not found:
        raise ValidityError("tasks", "()", valid, "", "is empty")
    seen: set[Task] = set()
    for at, task in enumerate(found):
        if not isinstance(task, Task):
            raise ValidityError(f"tasks[{at}]", quoted(task), valid, "", "is no task")
        if task in seen:
            raise ValidityError(f"tasks[{at}]", repr(task.what)[:60], valid, "", "is there twice")
        seen.add(task)
    if len(found) > MOST_TASKS:
        why = "are too many"
        raise ValidityError("tasks", f"more than {MOST_TASKS}", valid, "", why)
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


def usual_tasks(
    start: date,
    *,
    change: Any = None,
    change_every: int | None = None,
    test_every: int | None = None,
    rinse_coarse_every: int | None = None,
    rinse_medium_every: int | None = None,
    rinse_fine_every: int | None = None,
    settling_every: int | None = None,
    media_share: Any = None,
    media_every: int | None = None,
    lamp_every: int | None = None,
    lamp_since: date | None = None,
    carbon: Any = None,
    carbon_every: int | None = None,
    top_up: Any = None,
    top_up_every: int | None = None,
    safety_switch_every: int | None = None,
) -> tuple[Task, ...]:
    """Return the tasks of a plan that begins on the day `start`; what is not given is left out.

    `change` is the water changed each time, in litres; `media_share` the part of the biological
    media cleaned each time; `carbon` the portion put in, in grams; `top_up` what evaporates in a
    day. Those go with their own `..._every`, in days. Rinsing, changing, cleaning and renewing
    come for the first time when their days are over, all else on the first day. The lamp counts
    from `lamp_since`, on which it was new. Pressing the safety switch's button is always there.

    No two pads are ever rinsed on one day, nor on one on which media are cleaned: their days are
    cut down to whole weeks, and each gets a weekday of its own. What is rinsed more often than
    once a week is left as given, and may meet others.
    """
    a_day("start", start)
    _pairs(
        change=(change, change_every),
        media_share=(media_share, media_every),
        carbon=(carbon, carbon_every),
        top_up=(top_up, top_up_every),
    )
    tasks = [
        *_now(start, TEST_WATER, test_every, "test_every", TEST),
        *_water(start, change, change_every),
        *_top_up(start, top_up, top_up_every),
    ]
    pads = {
        "coarse": rinse_coarse_every,
        "medium": rinse_medium_every,
        "fine": rinse_fine_every,
    }
    place = count()
    for grade, every in pads.items():
        why = f"{RINSE} {SAME_WATER} {UNPLUG}"
        what = f"Rinse the {grade} pad"
        tasks += _apart(start, what, every, f"rinse_{grade}_every", why, place)
    what, why = "Empty the settling space", f"{SLUDGE} {UNPLUG}"
    # No bacteria are lost with it, so it may meet a pad's day: the filter is open then.
    tasks += _later(start, what, settling_every, "settling_every", why)
    tasks += _media(start, media_share, media_every, place)
    tasks += _carbon(start, carbon, carbon_every)
    tasks += _lamp(start, lamp_every, lamp_since)
    if safety_switch_every is None:
        safety_switch_every = round(parameter("safety_switch_test_interval").value)
    what = "Press the test button of the safety switch"
    return (*tasks, *_now(start, what, safety_switch_every, "safety_switch_every", SWITCH))


def _pairs(**pairs: tuple[Any, int | None]) -> None:
    for name, (amount, every) in pairs.items():
        if (amount is None) != (every is None):
            other = "media_every" if name == "media_share" else f"{name}_every"
            missing, valid = (name, "an amount") if amount is None else (other, "days")
            why = "is left out, though its partner is given"
            raise ValidityError(missing, "None", valid, "", why)


def _now(start: date, what: str, every: int | None, name: str, why: str) -> Iterator[Task]:
    if every is not None:
        yield Task(what, start, whole_days(name, every), why)


def _later(start: date, what: str, every: int | None, name: str, why: str) -> Iterator[Task]:
    if every is not None:
        days = whole_days(name, every)
        yield Task(what, start + timedelta(days), days, why)


def _apart(
    start: date, what: str, every: int | None, name: str, why: str, place: Iterator[int]
) -> Iterator[Task]:
    """Give a task with a weekday of its own, never later than its days allow."""
    if every is None:
        return
    days, back = whole_days(name, every), APART * next(place)
    if days < WEEK:
        yield from _later(start, what, days, name, why)
        return
    weeks = days // WEEK * WEEK
    yield Task(what, start + timedelta(weeks - back), weeks, why)


def _single(name: str, value: Any, rule: Range) -> float:
    """Return one amount in the unit of its rule."""
    number = one_number(name, value, rule)
    return float(value.m_as(rule.unit)) if rule.unit else number


def _water(start: date, change: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        amount = shown(_single("change", change, WATER), "L")
        yield from _later(start, f"Change {amount} of water", every, "change_every", CHANGE)


def _top_up(start: date, top_up: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        litres = _single("top_up", top_up, WATER) * whole_days("top_up_every", every)
        what = f"Top up about {shown(litres, 'L', 2)} of evaporated water"
        yield from _later(start, what, every, "top_up_every", FRESH_WATER)


def _media(start: date, share: Any, every: int | None, place: Iterator[int]) -> Iterator[Task]:
    if every is not None:
        percent = 100.0 * _single("media_share", share, SHARE)
        what = f"Clean {percent:.0f} % of the biological media"
        why = f"{MEDIA} {SAME_WATER} {UNPLUG}"
        yield from _apart(start, what, every, "media_every", why, place)


def _carbon(start: date, carbon: Any, every: int | None) -> Iterator[Task]:
    if every is not None:
        amount = shown(_single("carbon", carbon, CARBON), "g")
        why = f"{FRESH_CARBON} {UNPLUG}"
        yield from _later(start, f"Put in {amount} of new carbon", every, "carbon_every", why)


def _lamp(start: date, every: int | None, since: date | None) -> Iterator[Task]:
    if every is None:
        if since is not None:
            raise ValidityError("lamp_every", "None", "days", "", "is left out")
        return
    days = whole_days("lamp_every", every)
    due = (start if since is None else a_day("lamp_since", since)) + timedelta(days)
    # A lamp that is overdue is replaced on the first day, and counts from then.
    yield Task("Put in a new ultraviolet lamp", max(due, start), days, f"{LAMP} {UNPLUG}")
