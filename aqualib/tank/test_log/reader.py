"""A keeper's test log: a CSV of readings, read with care, nothing guessed and nothing lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from typing import IO, Any

import numpy as np

from aqualib.tank.test_log.cells import (
    Column,
    UnreadableError,
    is_blank,
    month_or_day,
    read_date,
    read_number,
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
from aqualib.tank.test_log.log import KeepersLog, Problems, Reading
from aqualib.validity import Range, ValidityError, quoted

MOST_LINES = 20_000
LONGEST_GAP = 400
"""Days: dates further from all others are a slip of the pen."""
MOST_TWICE = 20
"""Days with several lines; where there are more, it is a habit and no slip."""
PLAUSIBLE = {
    "ammonia": Range(0, 1000, "mg/L as N"),
    "nitrite": Range(0, 1000, "mg/L as N"),
    "nitrate": Range(0, 1000, "mg/L as N"),
    "ph": Range(4, 10),
    "temperature": Range(0, 45, "°C"),
}

Basis = str | Mapping[str, str] | None
Start = date | str | None
Row = tuple[int, date, list[str]]


def read_test_log(path: str | Path | IO[Any], basis: Basis = "", start: Start = None) -> KeepersLog:
    """Return the readings of a CSV file; the file is opened for reading only.

    `basis` says what the numbers of ammonia, nitrite and nitrate are where the headings do not:
    "N", "ion", or one for each column. `start` is the day the filter began (the first date).
    """
    found = letters_of_file(path)
    return parse_test_log(found.text, basis, start, found.name, found.remark)


def parse_test_log(
    text: str | IO[Any],
    basis: Basis = "",
    start: Start = None,
    name: str = "log",
    note: str = "",
) -> KeepersLog:
    """Return the readings in the text of a CSV file; see `read_test_log`."""
    said, began = said_bases(basis), _start_day(start)
    letters = letters_of(text, str(name))
    lines = _lines(letters.text)
    problems = Problems()
    for remark in filter(None, (note, letters.remark)):
        problems.add(1, "", remark)
    head = read_head(lines, said, problems)
    rows = list(_rows(lines, head, problems))
    if not rows and began is None:
        raise _no_dates(problems)
    first, last = _span([day for _, day, _ in rows], began)
    readings: list[Reading] = []
    seen: dict[tuple[Any, ...], int] = {}
    days: dict[date, list[int]] = {}
    for line, day, cells in rows:
        since = (day - first).days
        if not first <= day <= last:
            words = f"{day} lies {abs(since)} days {'before' if since < 0 else 'after'} the start"
            problems.add(line, "date", f"{words} ({first}); the line is not used")
            continue
        same = (day, *(cell.strip() for cell in cells))
        if same in seen:
            problems.add(line, "", f"the same as line {seen[same]}; counted once")
            continue
        seen[same] = line
        days.setdefault(day, []).append(line)
        readings += _readings(line, float(since), cells, head.columns, problems)
    _tell_of_days_twice(days, problems)
    readings.sort(key=lambda reading: reading.day)
    found = problems.by_line()
    return KeepersLog(letters.name, first, tuple(readings), found, head.columns, lines)


def _tell_of_days_twice(days: dict[date, list[int]], problems: Problems) -> None:
    """Tell which days stand in several lines; of a log with many such days, how many there are."""
    twice = {day: lines for day, lines in days.items() if len(lines) > 1}
    if len(twice) > MOST_TWICE:
        day, (first, *_) = next(iter(twice.items()))
        words = f"{day} and {len(twice) - 1} days more stand in several lines; all are used"
        problems.add(first, "date", words)
        return
    for day, (first, *others) in twice.items():
        for line in others:
            words = f"{day} stands in line {first} too; both lines are used"
            problems.add(line, "date", words)


def _lines(text: str) -> tuple[str, ...]:
    # Not by splitlines: a text editor that counts lines counts only these ends.
    plain = text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = plain.removesuffix("\n").split("\n") if plain else []
    if len(lines) > MOST_LINES:
        valid = f"up to {MOST_LINES} lines; give one part at a time"
        raise ValidityError("log", f"{len(lines)} lines", valid, "", "is too long for a test log")
    return tuple(lines)


def _start_day(start: object) -> date | None:
    """Return the day on which the filter began; a moment counts as its day."""
    if start is None:
        return None
    given: Any = start
    if isinstance(given, np.datetime64):
        given = given.astype("datetime64[D]").item()
    why = "is no date"
    if isinstance(given, str):
        try:
            return read_date(given)
        except UnreadableError as problem:
            why = str(problem)
    elif isinstance(given, datetime):
        # A missing moment of a table of data is of this class too, but has no date.
        with suppress(ValueError):
            given = given.date()
        if type(given) is date:
            return given
    elif isinstance(given, date):
        return given
    valid = 'a date, such as date(2026, 3, 25) or "2026-03-25"'
    raise ValidityError("start", quoted(start), valid, "", why)


def _rows(lines: tuple[str, ...], head: Head, problems: Problems) -> Iterator[Row]:
    """Yield number, day and cells of each line whose date can be read."""
    place = next(column.place for column in head.columns if column.what == "date")
    found = list(_split_lines(lines, head, problems))
    dates = [cells[place] if place < len(cells) else "" for _, cells in found]
    # One date with its month first makes all dates doubtful that can be read both ways.
    doubtful = any(month_or_day(text) == "month first" for text in dates)
    for (number, cells), text in zip(found, dates, strict=True):
        if any(cell.strip() for cell in cells[head.width :]):
            words = f"{len(cells)} cells under {head.width} headings; the line is not used"
            if head.separator == ",":
                words += ' (decimal commas need ";" between cells)'
            problems.add(number, "", words)
        elif doubtful and month_or_day(text) == "either":
            words = f"{in_quotes(text)} may have its month first, as another line has"
            problems.add(number, "date", f"{words}; the line is not used")
        else:
            try:
                yield number, read_date(text), cells
            except UnreadableError as problem:
                problems.add(number, "date", f"{problem}; the line is not used")


def _split_lines(
    lines: tuple[str, ...], head: Head, problems: Problems
) -> Iterator[tuple[int, list[str]]]:
    """Yield number and cells of each line below the heading that is no comment and not empty."""
    for number, line in enumerate(lines[head.line :], head.line + 1):
        if is_comment(line):
            if is_about_basis(line):
                problems.add(number, "", "a basis is read above the heading only; not used")
        elif len(line) > LONGEST_LINE:
            words = f"is longer than {LONGEST_LINE} letters; the line is not used"
            problems.add(number, "", f"{in_quotes(line)} {words}")
        else:
            cells = split_line(line, head.separator)
            if any(cell.strip(' "') for cell in cells):
                yield number, cells


def _no_dates(problems: Problems) -> ValidityError:
    first = "".join(f" ({problem})" for problem in problems.by_line()[:1])
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
    most = max(parts, key=len, default=[start] if start else [])
    return start or most[0], most[-1]


def _readings(
    line: int, since: float, cells: list[str], columns: tuple[Column, ...], problems: Problems
) -> Iterator[Reading]:
    for column in columns:
        cell = cells[column.place] if column.place < len(cells) else ""
        if column.what == "date" or is_blank(cell):
            continue
        try:
            sign, number = read_number(cell)
        except UnreadableError as problem:
            problems.add(line, column.heading, f"{problem}; not used")
            continue
        value, limits = column.plain(number), PLAUSIBLE[column.what]
        if not limits.holds(value):
            words = f"{in_quotes(cell)} is outside {limits.text}; not used"
            problems.add(line, column.heading, words)
            continue
        yield Reading(line, since, column.what, value, sign)
