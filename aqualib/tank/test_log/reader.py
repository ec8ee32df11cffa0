"""A keeper's test log: a CSV of readings, read with care, nothing guessed and nothing lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from typing import IO, Any, NamedTuple, NoReturn

import numpy as np

from aqualib.tank.test_log.cells import Column, UnreadableError, is_blank, read_number
from aqualib.tank.test_log.dates import (
    DAY_FIRST,
    MONTH_FIRST,
    ORDERS,
    may_be_either,
    orders_of,
    proof_of,
    read_date,
)
from aqualib.tank.test_log.headings import (
    LONGEST_LINE,
    Head,
    is_about_basis,
    is_comment,
    read_head,
    said_bases,
    split_line,
)
from aqualib.tank.test_log.letters import in_quotes, letters_of, letters_of_file
from aqualib.tank.test_log.log import KeepersLog, Reading, Remarks
from aqualib.tank.test_log.questions import about_the_basis, about_the_dates
from aqualib.validity import OneOf, Range, ValidityError, quoted

MOST_LINES = 20_000
LONGEST_GAP = 400
"""Days: dates further from all others are a slip of the pen."""
NO_DAY = date(2000, 1, 1)
"""Stands for the start of a log none of whose dates can be read before a question is answered."""
MOST_TWICE = 20
"""Days with several lines; where there are more, it is a habit and no slip."""
PLAUSIBLE = {
    "ammonia": Range(0, 1000, "mg/L as N"),
    "nitrite": Range(0, 1000, "mg/L as N"),
    "nitrate": Range(0, 1000, "mg/L as N"),
    "ph": Range(4, 10),
    "temperature": Range(0, 45, "°C"),
    "alkalinity": Range(0, 1000, "mg/L as CaCO3"),
}

Basis = str | Mapping[str, str] | None
Start = date | str | None


class Row(NamedTuple):
    """One line below the heading."""

    line: int
    cells: list[str]
    date: str


Dated = tuple[int, date, list[str]]


def read_test_log(
    path: str | Path | IO[Any], basis: Basis = "", start: Start = None, dates: str = ""
) -> KeepersLog:
    """Return the readings of a CSV file; the file is opened for reading only.

    `basis` says what the numbers of ammonia, nitrite and nitrate are where the headings do not:
    "N", "ion", or one for each column. `start` is the day the filter began (the first date).
    `dates` is "day first" or "month first". What is unclear is asked: see `questions` of the log.
    """
    found = letters_of_file(path)
    return parse_test_log(found.text, basis, start, dates, name=found.name, remark=found.remark)


def parse_test_log(
    text: str | IO[Any],
    basis: Basis = "",
    start: Start = None,
    dates: str = "",
    *,
    name: str = "log",
    remark: str = "",
) -> KeepersLog:
    """Return the readings in the text of a CSV file; see `read_test_log`."""
    said, order, began = said_bases(basis), _order_told(dates), _start_given(start)
    letters = letters_of(text, str(name))
    lines = _lines(letters.text)
    remarks = Remarks()
    for words in filter(None, (remark, letters.remark)):
        remarks.add(1, "", words)
    head = read_head(lines, said, remarks)
    rows = list(_rows(lines, head, remarks))
    texts = [row.date for row in rows] + ([began] if isinstance(began, str) else [])
    orders = {order} if order else orders_of(texts)
    asked = [about_the_basis(head.unclear)] if head.unclear else []
    asked += [about_the_dates(texts)] if len(orders) > 1 and any(map(may_be_either, texts)) else []
    dated = list(_dated(rows, orders, remarks, told=bool(order)))
    first = _start_day(began, max(orders - {MONTH_FIRST}, default=MONTH_FIRST))
    if not dated and first is None and not asked:
        raise _no_dates(remarks)
    first, last = _span([day for _, day, _ in dated], first)
    readings = _all_readings(dated, head, first, last, remarks)
    found = remarks.by_line()
    return KeepersLog(letters.name, first, readings, found, head.columns, lines, tuple(asked))


def _all_readings(
    rows: list[Dated], head: Head, first: date, last: date, remarks: Remarks
) -> tuple[Reading, ...]:
    """Return the readings of the lines that lie in the span of the log, by their days."""
    readings: list[Reading] = []
    seen: dict[tuple[Any, ...], int] = {}
    days: dict[date, list[int]] = {}
    for line, day, cells in rows:
        since = (day - first).days
        if not first <= day <= last:
            words = f"{day} lies {abs(since)} days {'before' if since < 0 else 'after'} the start"
            remarks.add(line, "date", f"{words} ({first}); the line is not used")
            continue
        same = (day, *(cell.strip() for cell in cells))
        if same in seen:
            remarks.add(line, "", f"the same as line {seen[same]}; counted once")
            continue
        seen[same] = line
        days.setdefault(day, []).append(line)
        readings += _readings(line, float(since), cells, head.columns, remarks)
    _tell_of_days_twice(days, remarks)
    return tuple(sorted(readings, key=lambda reading: reading.day))


def _tell_of_days_twice(days: dict[date, list[int]], remarks: Remarks) -> None:
    """Tell which days stand in several lines; of a log with many such days, how many there are."""
    twice = {day: lines for day, lines in days.items() if len(lines) > 1}
    if len(twice) > MOST_TWICE:
        day, (first, *_) = next(iter(twice.items()))
        words = f"{day} and {len(twice) - 1} days more stand in several lines; all are used"
        remarks.add(first, "date", words)
        return
    for day, (first, *others) in twice.items():
        for line in others:
            words = f"{day} stands in line {first} too; both lines are used"
            remarks.add(line, "date", words)


def _lines(text: str) -> tuple[str, ...]:
    # Not by splitlines: a text editor that counts lines counts only these ends.
    plain = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = plain.removesuffix("\n").split("\n") if plain else []
    if len(lines) > MOST_LINES:
        valid = f"up to {MOST_LINES} lines; give one part at a time"
        raise ValidityError("log", f"{len(lines)} lines", valid, "", "is too long for a test log")
    return tuple(lines)


def _order_told(dates: object) -> str:
    if dates is None or dates == "":
        return ""
    if isinstance(dates, str) and dates in ORDERS:
        return dates
    why = "is no order of dates"
    raise ValidityError("dates", quoted(dates), OneOf(ORDERS).text, "", why)


def _start_given(start: object) -> date | str | None:
    """Return the day on which the filter began, or the text of its date; a moment is its day."""
    given: Any = start
    if isinstance(given, np.datetime64):
        given = given.astype("datetime64[D]").item()
    if given is None or (isinstance(given, str) and given):
        return given if start is None or isinstance(start, str) else _no_start(start, "is no date")
    if isinstance(given, datetime):
        # A missing moment of a table of data is of this class too, but has no date.
        with suppress(ValueError):
            given = given.date()
    if isinstance(given, date) and not isinstance(given, datetime):
        return given
    return _no_start(start, "is no date")


def _start_day(given: date | str | None, order: str) -> date | None:
    if not isinstance(given, str):
        return given
    try:
        return read_date(given, order)
    except UnreadableError as problem:
        return _no_start(given, str(problem))


def _no_start(start: object, why: str) -> NoReturn:
    valid = 'a date, such as date(2026, 3, 25) or "2026-03-25"'
    raise ValidityError("start", quoted(start), valid, "", why)


def _rows(lines: tuple[str, ...], head: Head, remarks: Remarks) -> Iterator[Row]:
    """Yield each line below the heading that has no more cells than there are headings."""
    place = next(column.place for column in head.columns if column.what == "date")
    for number, cells in _split_lines(lines, head, remarks):
        if any(cell.strip() for cell in cells[head.width :]):
            words = f"{len(cells)} cells under {head.width} headings; the line is not used"
            if head.separator == ",":
                words += ' (decimal commas need ";" between cells)'
            remarks.add(number, "", words)
        else:
            yield Row(number, cells, cells[place] if place < len(cells) else "")


def _dated(rows: list[Row], orders: set[str], remarks: Remarks, *, told: bool) -> Iterator[Dated]:
    """Yield number, day and cells of each line whose date can be read in one way only."""
    only = next(iter(orders)) if len(orders) == 1 else ""
    settled = told or only != MONTH_FIRST
    for row in rows:
        if not only and may_be_either(row.date):
            continue  # asked about
        proof = proof_of(row.date)
        if proof and not settled:
            words = f"{in_quotes(row.date)} has its month first, so all dates are read so"
            remarks.add(row.line, "date", words)
            settled = True
        try:
            yield row.line, read_date(row.date, only or proof or DAY_FIRST), row.cells
        except UnreadableError as problem:
            remarks.add(row.line, "date", f"{problem}; the line is not used")


def _split_lines(
    lines: tuple[str, ...], head: Head, remarks: Remarks
) -> Iterator[tuple[int, list[str]]]:
    """Yield number and cells of each line below the heading that is no comment and not empty."""
    for number, line in enumerate(lines[head.line :], head.line + 1):
        if is_comment(line):
            if is_about_basis(line):
                remarks.add(number, "", "a basis is read above the heading only; not used")
        elif len(line) > LONGEST_LINE:
            words = f"is longer than {LONGEST_LINE} letters; the line is not used"
            remarks.add(number, "", f"{in_quotes(line)} {words}")
        else:
            cells = split_line(line, head.separator)
            if any(cell.strip(' "') for cell in cells):
                yield number, cells


def _no_dates(remarks: Remarks) -> ValidityError:
    first = "".join(f" ({problem})" for problem in remarks.by_line()[:1])
    valid = f"at least one line with a date{first}"
    return ValidityError("log", "no dated line", valid, "", "holds no readings")


def _span(days: list[date], start: date | None) -> tuple[date, date]:
    """Return the first and the last day of the log.

    A gap of more than `LONGEST_GAP` days parts the dates; the part with the most lines counts,
    the earliest of equals. One date far from all others is a slip of the pen, not the start.
    """
    parts: list[list[date]] = []
    for day in sorted(day for day in days if start is None or day >= start):
        if parts and (day - parts[-1][-1]).days <= LONGEST_GAP:
            parts[-1].append(day)
        else:
            parts.append([day])
    most = max(parts, key=len, default=[start or NO_DAY])
    return start or most[0], most[-1]


def _readings(
    line: int, since: float, cells: list[str], columns: tuple[Column, ...], remarks: Remarks
) -> Iterator[Reading]:
    for column in columns:
        cell = cells[column.place] if column.place < len(cells) else ""
        if column.what == "date" or is_blank(cell):
            continue
        try:
            sign, number = read_number(cell)
        except UnreadableError as problem:
            remarks.add(line, column.heading, f"{problem}; not used")
            continue
        value, limits = column.plain(number), PLAUSIBLE[column.what]
        if not limits.holds(value):
            hint = "; if it is °F, the heading must say so" if column.what == "temperature" else ""
            words = f"{in_quotes(cell)} is outside {limits.text}{hint}; not used"
            remarks.add(line, column.heading, words)
            continue
        yield Reading(line, since, column.what, value, sign)
