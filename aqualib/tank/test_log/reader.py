"""A keeper's test log: a CSV of readings, read with care, nothing guessed and nothing lost."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from aqualib.tank.maturation.scenario import LONGEST
from aqualib.tank.test_log.cells import (
    BASES,
    NITROGEN,
    Column,
    UnreadableError,
    is_blank,
    month_or_day,
    read_date,
    read_heading,
    read_number,
    stated_basis,
)
from aqualib.tank.test_log.log import KeepersLog, Problem, Reading
from aqualib.validity import Range, ValidityError

LARGEST_FILE = 5_000_000
PLAUSIBLE = {
    "ammonia": Range(0, 1000, "mg/L as N"),
    "nitrite": Range(0, 1000, "mg/L as N"),
    "nitrate": Range(0, 1000, "mg/L as N"),
    "ph": Range(4, 10),
    "temperature": Range(0, 45, "°C"),
}
SEPARATORS = (";", "\t", ",")
WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""The first bytes of a spreadsheet that is no CSV."""


def read_test_log(
    path: str | Path, basis: str | Mapping[str, str] = "", start: date | str | None = None
) -> KeepersLog:
    """Return the readings of a CSV file; the file is opened for reading only.

    `basis` says what the numbers of ammonia, nitrite and nitrate are where the headings do not:
    "N", "ion", or one for each column. `start` is the day the filter began (the first date).
    """
    file = Path(path).expanduser()
    if not file.is_file():
        near = sorted(p.name for p in file.parent.glob("*.csv"))[:8] if file.parent.is_dir() else []
        have = f"CSV files beside it: {', '.join(near)}" if near else "no CSV file is there"
        message = f"there is no file {file.name!r} in that folder ({have}); check name and folder"
        raise FileNotFoundError(message)
    if file.stat().st_size > LARGEST_FILE:
        valid = f"up to {LARGEST_FILE // 1_000_000} MB"
        raise ValidityError("path", file.name, valid, "", "is too large for a test log")
    text, note = _decoded(file.read_bytes(), file.name)
    return parse_test_log(text, basis, start, file.name, note)


def parse_test_log(
    text: str,
    basis: str | Mapping[str, str] = "",
    start: date | str | None = None,
    name: str = "log",
    note: str = "",
) -> KeepersLog:
    """Return the readings in the text of a CSV file; see `read_test_log`."""
    said = _said_bases(basis)
    lines = tuple(text.lstrip("\ufeff").splitlines())
    problems = [Problem(1, "", note)] if note else []
    head, columns, separator = _header(lines, said, problems)
    rows = list(_rows(lines, head, columns, separator, problems))
    first = _first_day(rows, start)
    readings: list[Reading] = []
    seen: dict[tuple[Any, ...], int] = {}
    days: dict[date, int] = {}
    for line, day, cells in rows:
        since = (day - first).days
        if not 0 <= since <= LONGEST:
            words = f"{day} lies {abs(since)} days {'before' if since < 0 else 'after'} the start"
            problems.append(Problem(line, "date", f"{words} ({first}); the line is not used"))
            continue
        same = (day, *(cell.strip() for cell in cells))
        if same in seen:
            words = f"the same as line {seen[same]}; counted once"
            problems.append(Problem(line, "", words))
            continue
        if day in days:
            words = f"{day} stands in line {days[day]} too; both lines are used"
            problems.append(Problem(line, "date", words))
        seen[same] = line
        days.setdefault(day, line)
        readings += _readings(line, float(since), cells, columns, problems)
    readings.sort(key=lambda reading: reading.day)
    problems.sort(key=lambda problem: problem.line)
    return KeepersLog(name, first, tuple(readings), tuple(problems), columns, lines)


def _decoded(data: bytes, name: str) -> tuple[str, str]:
    """Return the text of a file, and a remark if its letters were not in UTF-8."""
    if data.startswith(WORKBOOKS):
        why = "is a workbook, not a CSV file; save it as CSV first"
        raise ValidityError("path", name, "a CSV file", "", why)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace"), ""
    if b"\x00" in data:
        raise ValidityError("path", name, "a CSV file of text", "", "holds no plain text")
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        # Windows writes a degree sign so; every byte is some letter in Latin-1.
        return data.decode("latin-1"), "letters are not in UTF-8; read as Windows (Latin-1) text"


def _said_bases(basis: str | Mapping[str, str]) -> dict[str, str]:
    said = dict.fromkeys(NITROGEN, basis) if isinstance(basis, str) else dict(basis)
    for what, word in said.items():
        if what not in NITROGEN or word not in ("", *BASES):
            valid = '"N" or "ion", or one for each of ammonia ("NH3" too), nitrite, nitrate'
            raise ValidityError("basis", repr(basis), valid, "", "is not a basis")
    return said


def _header(
    lines: tuple[str, ...], said: dict[str, str], problems: list[Problem]
) -> tuple[int, tuple[Column, ...], str]:
    """Return the number of the heading line, the columns, and the separator."""
    for_all = ""
    for number, line in enumerate(lines, 1):
        if line.strip().startswith("#"):
            for_all = for_all or _comment_basis(line)
        elif line.strip(" ;,\t"):
            separator = max(SEPARATORS, key=line.count)
            columns = _columns(_split(line, separator), number, problems)
            if not any(column.what == "date" for column in columns) or len(columns) < 2:
                valid = "a first line such as: date; ammonia (mg/L as N); nitrite (mg/L as N)"
                why = "has no heading for the date and for a reading"
                raise ValidityError(f"line {number}", repr(line[:60]), valid, "", why)
            based = tuple(_with_basis(c, said, for_all, number, problems) for c in columns)
            return number, tuple(column for column in based if column), separator
    raise ValidityError("log", "an empty file", "a heading and readings", "", "holds no readings")


def _comment_basis(line: str) -> str:
    return stated_basis(line) if "basis" in line.lower() else ""


def _columns(cells: list[str], number: int, problems: list[Problem]) -> list[Column]:
    columns: list[Column] = []
    for place, cell in enumerate(cells):
        try:
            column = read_heading(cell, place)
        except UnreadableError as problem:
            problems.append(Problem(number, f"column {place + 1}", f"{problem}; not used"))
            continue
        if column and any(column.what == other.what for other in columns):
            words = f"a second column of {column.what}; only the first is used"
            problems.append(Problem(number, cell.strip(), words))
        elif column:
            columns.append(column)
    return columns


def _with_basis(
    column: Column, said: dict[str, str], for_all: str, number: int, problems: list[Problem]
) -> Column | None:
    """Return a column with its basis; None, and a problem, if nobody states one."""
    if column.what not in NITROGEN:
        return column
    called = said.get(column.what, "")
    if column.basis and called and column.basis != called:
        valid = f'"{column.basis}", as the heading says'
        raise ValidityError("basis", repr(called), valid, "", f"contradicts {column.heading!r}")
    basis = column.basis or called or for_all
    if basis == "NH3" and column.what != "ammonia":
        basis = ""
    if not basis:
        words = 'no basis stated: write "as N" or "as ion" in the heading; not used'
        problems.append(Problem(number, column.heading, words))
        return None
    return replace(column, basis=basis)


def _split(line: str, separator: str) -> list[str]:
    # Line by line: a quote left open must not swallow the rest of the log.
    try:
        return next(csv.reader([line], delimiter=separator))
    except (csv.Error, StopIteration):
        return line.split(separator)


def _rows(
    lines: tuple[str, ...],
    head: int,
    columns: tuple[Column, ...],
    separator: str,
    problems: list[Problem],
) -> Iterator[tuple[int, date, list[str]]]:
    place = next(column.place for column in columns if column.what == "date")
    width = len(_split(lines[head - 1], separator))
    found = [
        (number, _split(line, separator))
        for number, line in enumerate(lines[head:], head + 1)
        if line.strip(' ;,\t"') and not line.strip().startswith("#")
    ]
    dates = [cells[place] if place < len(cells) else "" for _, cells in found]
    # One date with its month first makes all dates doubtful that can be read both ways.
    doubtful = any(month_or_day(text) == "month first" for text in dates)
    for (number, cells), text in zip(found, dates, strict=True):
        if any(cell.strip() for cell in cells[width:]):
            words = f"{len(cells)} cells under {width} headings; the line is not used"
            if separator == ",":
                words += ' (decimal commas need ";" between cells)'
            problems.append(Problem(number, "", words))
        elif doubtful and month_or_day(text) == "either":
            words = f"“{text.strip()}” may have its month first, as another line has"
            problems.append(Problem(number, "date", f"{words}; the line is not used"))
        else:
            try:
                yield number, read_date(text), cells
            except UnreadableError as problem:
                problems.append(Problem(number, "date", f"{problem}; the line is not used"))


def _first_day(rows: list[tuple[int, date, list[str]]], start: date | str | None) -> date:
    if isinstance(start, str):
        try:
            return read_date(start)
        except UnreadableError as problem:
            raise ValidityError("start", repr(start), "a date", "", str(problem)) from None
    if start is not None:
        return start
    if not rows:
        valid = "at least one line with a date"
        raise ValidityError("log", "no dated line", valid, "", "holds no readings")
    # One date far from all others is a slip of the pen, not the start.
    days = sorted(day for _, day, _ in rows)
    middle = days[len(days) // 2]
    return next(day for day in days if (middle - day).days <= LONGEST)


def _readings(
    line: int, since: float, cells: list[str], columns: tuple[Column, ...], problems: list[Problem]
) -> Iterator[Reading]:
    for column in columns:
        cell = cells[column.place] if column.place < len(cells) else ""
        if column.what == "date" or is_blank(cell):
            continue
        try:
            sign, number = read_number(cell)
        except UnreadableError as problem:
            problems.append(Problem(line, column.heading, f"{problem}; not used"))
            continue
        value, limits = column.plain(number), PLAUSIBLE[column.what]
        if not limits.holds(value):
            words = f"“{cell.strip()}” is outside {limits.text}; not used"
            problems.append(Problem(line, column.heading, words))
            continue
        yield Reading(line, since, column.what, value, sign)
