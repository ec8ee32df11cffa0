"""Tasks as the text of an iCalendar file (RFC 5545), which calendar programs read."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import UTC, date, datetime

from aqualib.tank.upkeep import Task
from aqualib.tank.upkeep.calendar import MOST_DAYS, a_day, checked, one_line
from aqualib.validity import ValidityError, quoted

PRODUCT = "-//aqualib//care calendar//EN"
NAME = "Care of the aquarium"
REMINDER = "PT9H"
"""After the day begins: at nine in the morning."""
LINE_OCTETS = 75
LINE_END = "\r\n"


def as_icalendar(tasks: Iterable[Task], stamp: datetime, until: date, name: str = NAME) -> str:
    """Return tasks as the text of an iCalendar file (RFC 5545), which calendar programs read.

    Each task is a whole-day event that repeats until the day `until`, included, or until its own
    last day. `stamp` is when
    the file was made, with its time zone. The same tasks and stamp give the same text. The name
    of an event (UID) rests on the task alone, so that a program that reads a longer calendar of
    the same tasks can tell that it knows them. Each event reminds at nine in the morning of its
    day. `name` is what the calendar is called, such as "Living-room tank".
    """
    found, last = checked(tasks), a_day("until", until)
    made, called = _moment(stamp), escaped(one_line("name", name))
    for task in found:
        if not 0 <= (last - task.first).days <= MOST_DAYS:
            valid = f"{task.first} or later, at most {MOST_DAYS} days"
            why = f"does not go with the first day of {task.what!r}"
            raise ValidityError("until", str(last), valid, "RFC5545", why)
    # The standard has no name for a calendar; most programs read the first of these, its
    # extension RFC 7986 has the second (from memory).
    names = [f"X-WR-CALNAME:{called}", f"NAME:{called}"]
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", *names]
    for task in found:
        lines += _event(task, made, last)
    lines.append("END:VCALENDAR")
    return "".join(folded(line) + LINE_END for line in lines)


def _moment(stamp: object) -> str:
    valid = "a datetime with a time zone, such as datetime(2030, 5, 1, tzinfo=UTC)"
    try:
        known = isinstance(stamp, datetime) and stamp.utcoffset() is not None
    except ValueError:
        # A missing moment of a table of data is of this class too.
        known = False
    if not isinstance(stamp, datetime) or not known:
        raise ValidityError("stamp", quoted(stamp), valid, "RFC5545", "is no moment")
    a_day("stamp", stamp.date())
    return f"{stamp.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def _event(task: Task, made: str, last: date) -> list[str]:
    content = "\n".join((task.what, f"{task.first}", f"{task.every}", task.why))
    if task.last is not None:
        content += f"\n{task.last}"
    name = hashlib.sha256(content.encode()).hexdigest()[:32]
    lines = [
        "BEGIN:VEVENT",
        f"UID:{name}@aqualib",
        f"DTSTAMP:{made}",
        f"DTSTART;VALUE=DATE:{task.first:%Y%m%d}",
        *_again(task, last),
        f"SUMMARY:{escaped(task.what)}",
    ]
    if task.why:
        lines.append(f"DESCRIPTION:{escaped(task.why)}")
    # A day with a water change is still a free day.
    return [*lines, "TRANSP:TRANSPARENT", *_reminder(task), "END:VEVENT"]


def _again(task: Task, last: date) -> list[str]:
    """Return the rule by which a task comes again; none for one that is done once."""
    if task.once:
        return []
    until = min(last, task.last) if task.last else last
    return [f"RRULE:FREQ=DAILY;INTERVAL={task.every};UNTIL={until:%Y%m%d}"]


def _reminder(task: Task) -> list[str]:
    return [
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        f"TRIGGER:{REMINDER}",
        f"DESCRIPTION:{escaped(task.what)}",
        "END:VALARM",
    ]


def escaped(text: str) -> str:
    """Return text with the signs that mean something in an iCalendar value written out."""
    for sign in ("\\", ";", ","):
        text = text.replace(sign, f"\\{sign}")
    return text.replace("\n", "\\n")


def folded(line: str) -> str:
    """Return a line in pieces of at most 75 octets, each further one after a space.

    Cut between signs, never within one, though a sign may take up to four octets.
    """
    pieces, length = [""], 0
    for sign in line:
        octets = len(sign.encode())
        if length + octets > LINE_OCTETS:
            pieces.append(" ")
            length = 1
        pieces[-1] += sign
        length += octets
    return LINE_END.join(pieces)
