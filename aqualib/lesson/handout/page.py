"""Tasks as a page to print and hang up: a table by date, with boxes to tick."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from html import escape

from aqualib.lesson.whole_page import html_page
from aqualib.tank.upkeep import Task, days_of
from aqualib.tank.upkeep.calendar import TEST_WATER, a_day, checked, one_line, whole_days
from aqualib.validity import ValidityError

NAME = "Care calendar"
BLANKS = ("ammonia", "nitrite", "nitrate", "pH", "alkalinity", "°")
"""What a test is written down as, on the page itself."""
MOST_WEEKS = 520
MOST_BOXES = 20_000
"""To tick: some five hundred sheets of paper."""
# Not by strftime: that would speak the language of the computer.
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
STYLE = """\
@page { margin: 15mm; }
body { font: 11pt/1.4 sans-serif; color: #000; background: #fff; max-width: 48em;
  margin: 1em auto; padding: 0 1em; }
table { border-collapse: collapse; width: 100%; margin-bottom: 1.5em; }
th, td { border: 1px solid #000; padding: 0.25em 0.5em; text-align: left; vertical-align: top; }
th[scope=row] { white-space: nowrap; font-weight: normal; }
tr.week th { font-weight: bold; border-top-width: 3px; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
tr.week { break-after: avoid; }
ul { list-style: none; margin: 0; padding: 0; }
.box { display: inline-block; width: 0.8em; height: 0.8em; border: 1.5px solid #000;
  margin-right: 0.5em; }
.blank { display: inline-block; margin-left: 0.8em; min-width: 6.5em;
  border-bottom: 1px solid #000; }
.why { white-space: pre-line; }"""


def as_page(tasks: Iterable[Task], start: date, weeks: int, name: str = NAME) -> str:
    """Return tasks over so many weeks as one page of HTML that needs nothing else.

    It holds a table by date with a box to tick for each task, room for the readings of a test,
    and why each is done. `name` stands at its head, such as "Living-room tank". It is black on
    white, without a script, and needs no network.
    """
    found, first = checked(tasks), a_day("start", start)
    count = whole_days("weeks", weeks, MOST_WEEKS)
    last = first + timedelta(7 * count - 1)
    due = days_of(found, first, last)
    boxes = sum(map(len, due.values()))
    if boxes > MOST_BOXES:
        valid = f"fewer weeks or tasks, for {MOST_BOXES} boxes to tick at most"
        why = f"would make {boxes} boxes to tick"
        raise ValidityError("weeks", str(count), valid, "", why)
    rows = [row for week in range(count) for row in _week(first, week, due)]
    title = f"{one_line('name', name)}, {first} to {last}"
    body = [
        f"<h1>{escape(title)}</h1>",
        "<table>",
        '<thead><tr><th scope="col">Day</th><th scope="col">To do</th></tr></thead>',
        "<tbody>",
        *rows,
        "</tbody>",
        "</table>",
        *_reasons(found),
    ]
    return html_page(title, STYLE, body)


def _week(first: date, week: int, due: dict[date, tuple[Task, ...]]) -> list[str]:
    days = [first + timedelta(7 * week + n) for n in range(7)]
    rows = [f'<tr class="week"><th scope="rowgroup" colspan="2">Week {week + 1}</th></tr>']
    for day in days:
        if day in due:
            boxes = "".join(
                f'<li><span class="box"></span>{escape(task.what)}{_blanks(task)}</li>'
                for task in due[day]
            )
            name = f"{WEEKDAYS[day.weekday()]} {day}"
            rows.append(f'<tr><th scope="row">{name}</th><td><ul>{boxes}</ul></td></tr>')
    if len(rows) == 1:
        rows.append('<tr><td colspan="2">Nothing to do.</td></tr>')
    return rows


def _blanks(task: Task) -> str:
    """Return lines to write the readings on, where a task is the test of the water."""
    if task.what != TEST_WATER:
        return ""
    return "".join(f'<span class="blank">{what} </span>' for what in BLANKS)


def _reasons(tasks: tuple[Task, ...]) -> list[str]:
    rows = [
        f'<tr><th scope="row">{_times(task.every)}</th><td>{escape(task.what)}</td>'
        f'<td class="why">{escape(task.why)}</td></tr>'
        for task in tasks
    ]
    head = "".join(f'<th scope="col">{name}</th>' for name in ("How often", "What", "Why"))
    return ["<h2>Why</h2>", "<table>", f"<thead><tr>{head}</tr></thead>", "<tbody>", *rows,
            "</tbody>", "</table>"]  # fmt: skip


def _times(every: int) -> str:
    return "every day" if every == 1 else f"every {every} days"
