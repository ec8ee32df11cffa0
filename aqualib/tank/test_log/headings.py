"""The head of a keeper's log: what its columns hold, and in which basis the numbers are."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from aqualib.tank.test_log.cells import (
    BASES,
    LONGEST_HEADING,
    NITROGEN,
    Column,
    UnreadableError,
    commented_basis,
    read_heading,
)
from aqualib.tank.test_log.letters import in_quotes
from aqualib.tank.test_log.log import Problems
from aqualib.validity import ValidityError, quoted

LONGEST_LINE = 5_000
"""Letters."""
SEPARATORS = (";", "\t", ",")


class Head(NamedTuple):
    """What the line with the headings says."""

    line: int
    columns: tuple[Column, ...]
    separator: str
    width: int
    """How many cells a line has."""


def said_bases(basis: object) -> dict[str, str]:
    """Return what the call says of ammonia, nitrite and nitrate."""
    said: Any = {} if basis is None else basis
    if isinstance(said, str):
        said = dict.fromkeys(NITROGEN, said)
    valid = '"N" or "ion", or one for each of ammonia ("NH3" too), nitrite, nitrate'
    if not isinstance(said, Mapping) or not all(_is_basis(*pair) for pair in said.items()):
        raise ValidityError("basis", quoted(basis), valid, "", "is not a basis")
    if isinstance(basis, Mapping) and any(said.get(what) == "NH3" for what in NITROGEN[1:]):
        raise ValidityError("basis", quoted(basis), valid, "", "is a basis for ammonia only")
    return dict(said)


def _is_basis(what: object, word: object) -> bool:
    return (
        isinstance(what, str)
        and what in NITROGEN
        and isinstance(word, str)
        and (word in ("", *BASES))
    )


def is_comment(line: str) -> bool:
    """Return whether a line of the file holds a remark and no readings."""
    # A spreadsheet puts a comment with a comma in it between quotation marks.
    return line.lstrip(' \t"').startswith("#")


def read_head(lines: tuple[str, ...], said: dict[str, str], problems: Problems) -> Head:
    """Return what the line with the headings says; `said` is the basis that the call states."""
    remarked: dict[str, str] = {}
    for number, line in enumerate(lines, 1):
        if is_comment(line):
            _hear(line, number, remarked, problems)
        elif line.strip(" ;,\t"):
            separator = max(SEPARATORS, key=line.count)
            if len(line) > LONGEST_LINE:
                raise _no_heading(number, line)
            cells = split_line(line, separator)
            columns = _columns(cells, number, problems)
            if not any(column.what == "date" for column in columns) or len(columns) < 2:
                raise _no_heading(number, line)
            based = tuple(_with_basis(c, said, remarked, number, problems) for c in columns)
            read = tuple(column for column in based if column)
            return Head(number, read, separator, len(cells))
    raise ValidityError("log", "an empty file", "a heading and readings", "", "holds no readings")


def _no_heading(number: int, line: str) -> ValidityError:
    valid = "a first line such as: date; ammonia (mg/L as N); nitrite (mg/L as N)"
    why = "has no heading for the date and for a reading"
    return ValidityError(f"line {number}", in_quotes(line), valid, "", why)


def _hear(line: str, number: int, remarked: dict[str, str], problems: Problems) -> None:
    """Take what a comment says of the basis; what cannot be taken is told and set aside."""
    if "basis" not in line.lower():
        return
    if len(line) > LONGEST_HEADING:
        problems.add(number, "", "the comment is too long to look for a basis in it; not used")
        return
    try:
        found = commented_basis(line)
    except UnreadableError as problem:
        problems.add(number, "", f"the comment {problem}; not used")
        return
    for what, basis in found.items():
        if remarked.setdefault(what, basis) != basis:
            words = f"the comment contradicts an earlier one about {what}; the earlier one counts"
            problems.add(number, "", words)
    if not found and is_about_basis(line):
        words = 'the comment names no basis that is read; write "# basis: as N" or "as ion"'
        problems.add(number, "", words)


def is_about_basis(line: str) -> bool:
    """Return whether a comment begins with the word."""
    return line.strip('# \t"').lower().startswith("basis")


def _columns(cells: list[str], number: int, problems: Problems) -> list[Column]:
    columns: list[Column] = []
    for place, cell in enumerate(cells):
        try:
            column = read_heading(cell, place)
        except UnreadableError as problem:
            problems.add(number, f"column {place + 1}", f"{problem}; not used")
            continue
        if column and any(column.what == other.what for other in columns):
            words = f"a second column of {column.what}; only the first is used"
            problems.add(number, column.heading, words)
        elif column:
            columns.append(column)
    return columns


def _with_basis(
    column: Column, said: dict[str, str], remarked: dict[str, str], number: int, problems: Problems
) -> Column | None:
    """Return a column with its basis; None, and a problem, if nobody states one."""
    if column.what not in NITROGEN:
        return column
    called = said.get(column.what, "")
    if column.basis and called and column.basis != called:
        valid = f'"{column.basis}", as the heading says'
        raise ValidityError("basis", repr(called), valid, "", f"contradicts {column.heading!r}")
    comment = remarked.get(column.what, "")
    basis = column.basis or called or comment
    if basis == "NH3" and column.what != "ammonia":
        basis = ""
    if not basis:
        words = 'no basis stated: write "as N" or "as ion" in the heading; not used'
        problems.add(number, column.heading, words)
        return None
    if comment and comment != basis:
        words = f'read as "{basis}", though a comment says "{comment}"'
        problems.add(number, column.heading, words)
    return replace(column, basis=basis)


def split_line(line: str, separator: str) -> list[str]:
    """Return the cells of one line."""
    # Line by line: a quote left open must not swallow the rest of the log.
    try:
        return next(csv.reader([line], delimiter=separator))
    except (csv.Error, StopIteration):
        return line.split(separator)
