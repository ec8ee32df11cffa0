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
from aqualib.tank.test_log.log import Remarks
from aqualib.validity import ValidityError, quoted

LONGEST_LINE = 5_000
"""Letters."""
SEPARATORS = (";", "\t", ",")
MOST_TITLES = 10
"""Lines above the headings, such as the name of the tank."""


class Head(NamedTuple):
    """What the line with the headings says."""

    line: int
    columns: tuple[Column, ...]
    separator: str
    width: int
    """How many cells a line has."""
    unclear: tuple[Column, ...] = ()
    """Columns of nitrogen of which nobody says the basis; they are not among the others."""
    remarks: tuple[tuple[str, str], ...] = ()
    """What the reader should know of a column."""


class Said(NamedTuple):
    """The basis that the call states."""

    of_all: str
    """For the columns that do not say."""
    of_each: dict[str, str]


def said_bases(basis: object) -> Said:
    """Return what the call says of ammonia, nitrite and nitrate."""
    given: Any = {} if basis is None else basis
    of_each = given if isinstance(given, Mapping) else {}
    of_all = "" if isinstance(given, Mapping) else given
    valid = '"N" or "ion", or one for each of ammonia ("NH3" too), nitrite, nitrate'
    names_known = all(isinstance(what, str) and what in NITROGEN for what in of_each)
    if not names_known or not all(map(_is_basis, (of_all, *of_each.values()))):
        raise ValidityError("basis", quoted(basis), valid, "", "is not a basis")
    each = {what: word.removeprefix("as ") for what, word in of_each.items()}
    if any(each.get(what) == "NH3" for what in NITROGEN[1:]):
        raise ValidityError("basis", quoted(basis), valid, "", "is a basis for ammonia only")
    return Said(of_all.removeprefix("as "), each)


def _is_basis(word: object) -> bool:
    return isinstance(word, str) and word.removeprefix("as ") in ("", *BASES)


def is_comment(line: str) -> bool:
    """Return whether a line of the file holds a remark and no readings."""
    # A spreadsheet puts a comment with a comma in it between quotation marks.
    return line.lstrip(' \t"').startswith("#")


def read_head(lines: tuple[str, ...], said: Said, remarks: Remarks) -> Head:
    """Return what the line with the headings says; `said` is the basis that the call states."""
    remarked: dict[str, str] = {}
    titles: list[int] = []
    for number, line in enumerate(lines, 1):
        if is_comment(line):
            _hear(line, number, remarked, remarks)
        elif line.strip(" ;,\t"):
            head = _head(line, number, said, remarked)
            if head:
                for title in titles:
                    remarks.add(title, "", "stands above the headings; the line is not used")
                for column, words in head.remarks:
                    remarks.add(number, column, words)
                return head
            titles.append(number)
            if len(titles) > MOST_TITLES:
                break
    if titles:
        raise _no_heading(titles[0], lines[titles[0] - 1])
    raise ValidityError("log", "an empty file", "a heading and readings", "", "holds no readings")


def _head(line: str, number: int, said: Said, remarked: dict[str, str]) -> Head | None:
    """Return what a line says as a heading; None if it is none."""
    if len(line) > LONGEST_LINE:
        return None
    separator = max(SEPARATORS, key=line.count)
    cells = split_line(line, separator)
    remarks: list[tuple[str, str]] = []
    columns = _columns(cells, remarks)
    if not any(column.what == "date" for column in columns) or len(columns) < 2:
        return None
    based = [_with_basis(column, said, remarked, remarks) for column in columns]
    unclear = tuple(c for c in based if c.what in NITROGEN and not c.basis)
    read = tuple(column for column in based if column not in unclear)
    return Head(number, read, separator, len(cells), unclear, tuple(remarks))


def _no_heading(number: int, line: str) -> ValidityError:
    valid = "a first line such as: date; ammonia (mg/L as N); nitrite (mg/L as N)"
    why = "has no heading for the date and for a reading"
    return ValidityError(f"line {number}", in_quotes(line), valid, "", why)


def _hear(line: str, number: int, remarked: dict[str, str], remarks: Remarks) -> None:
    """Take what a comment says of the basis; what cannot be taken is told and set aside."""
    if "basis" not in line.lower():
        return
    if len(line) > LONGEST_HEADING:
        remarks.add(number, "", "the comment is too long to look for a basis in it; not used")
        return
    try:
        found = commented_basis(line)
    except UnreadableError as problem:
        remarks.add(number, "", f"the comment {problem}; not used")
        return
    for what, basis in found.items():
        if remarked.setdefault(what, basis) != basis:
            words = f"the comment contradicts an earlier one about {what}; the earlier one counts"
            remarks.add(number, "", words)
    if not found and is_about_basis(line):
        words = 'the comment names no basis that is read; write "# basis: as N" or "as ion"'
        remarks.add(number, "", words)


def is_about_basis(line: str) -> bool:
    """Return whether a comment begins with the word."""
    return line.strip('# \t"').lower().startswith("basis")


def _columns(cells: list[str], remarks: list[tuple[str, str]]) -> list[Column]:
    columns: list[Column] = []
    for place, cell in enumerate(cells):
        try:
            column = read_heading(cell, place)
        except UnreadableError as problem:
            remarks.append((f"column {place + 1}", f"{problem}; not used"))
            continue
        if column and any(column.what == other.what for other in columns):
            words = f"a second column of {column.what}; only the first is used"
            remarks.append((column.heading, words))
        elif column:
            columns.append(column)
    return columns


def _with_basis(
    column: Column, said: Said, remarked: dict[str, str], remarks: list[tuple[str, str]]
) -> Column:
    """Return a column with its basis, "" if nobody states one."""
    if column.what not in NITROGEN:
        return column
    called = said.of_each.get(column.what, "")
    if column.basis and called and column.basis != called:
        valid = f'"{column.basis}", as the heading says'
        raise ValidityError("basis", repr(called), valid, "", f"contradicts {column.heading!r}")
    comment = remarked.get(column.what, "")
    basis = column.basis or called or said.of_all or comment
    if basis == "NH3" and column.what != "ammonia":
        basis = ""
    for words, other in (("a comment says", comment), ("the call says", said.of_all)):
        if basis and other not in ("", basis):
            remarks.append((column.heading, f'read as "{basis}", though {words} "{other}"'))
    return replace(column, basis=basis)


def split_line(line: str, separator: str) -> list[str]:
    """Return the cells of one line."""
    # Line by line: a quote left open must not swallow the rest of the log.
    try:
        return next(csv.reader([line], delimiter=separator))
    except (csv.Error, StopIteration):
        return line.split(separator)
