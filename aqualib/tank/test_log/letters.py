"""The letters of a keeper's file: opened for reading only, and plain text whoever wrote it."""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path
from typing import NamedTuple

from aqualib.validity import ValidityError, quoted

LARGEST_FILE = 5_000_000
WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""The first bytes of a spreadsheet that is no CSV."""
BREAKS = re.compile("[\x0b\x0c\x1c-\x1f\x85\u2028\u2029]")
"""Breaks within a cell, which are no ends of a line of the table."""
CONTROLS = re.compile("[\x00-\x08\x0e-\x1b\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
"""Signs that would speak to the terminal or turn the letters of a page round, and halves of one."""
UNREAD = "\ufffd"
SHOWN = 40
"""Letters of a cell that are shown where it is spoken of."""
SPECIAL = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


class Letters(NamedTuple):
    """What stands in a file, and what must be told of it ("" if nothing)."""

    name: str
    text: str
    remark: str


def letters_of_file(path: object) -> Letters:
    """Return the letters of a file, given by its path or already open."""
    if callable(getattr(path, "read", None)):
        name = getattr(path, "name", "")
        return letters_of(path, Path(name).name if isinstance(name, str) and name else "log")
    file = _path(path)
    shown = repr(file.name)[:80]
    mode, size = _kind(file)
    for is_it, what in SPECIAL:
        if is_it(mode):
            raise ValidityError("path", shown, "a CSV file", "", f"is {what}, not a file")
    if size > LARGEST_FILE:
        raise _too_large("path", shown)
    try:
        with file.open("rb") as stream:
            data = stream.read(LARGEST_FILE + 1)
    except OSError as problem:
        raise _unopened(file, problem) from None
    return letters_of(data, file.name)


def letters_of(given: object, name: str = "log") -> Letters:
    """Return the letters of a text, of the bytes of a file, or of an open file."""
    data = _read(given) if callable(getattr(given, "read", None)) else given
    shown, remarks = repr(plain_signs(name))[:80], []
    if isinstance(data, bytes | bytearray):
        data, remark = _decoded(bytes(data), shown)
        remarks += [remark] if remark else []
    if not isinstance(data, str):
        valid = "the text of a CSV file, or an open file; for a path use read_test_log"
        raise ValidityError("text", quoted(given), valid, "", "is no text")
    if len(data) > LARGEST_FILE:
        raise _too_large("log", shown)
    plain = plain_signs(data)
    if plain.count(UNREAD) > data.count(UNREAD):
        remarks.append(f"control signs are shown as {UNREAD}")
    return Letters(" ".join(plain_signs(name).split())[:80], plain, "; ".join(remarks))


def plain_signs(text: str) -> str:
    """Return text in which no sign speaks to the terminal; tabs and ends of lines stay."""
    return CONTROLS.sub(UNREAD, BREAKS.sub(" ", text))


def in_quotes(text: str) -> str:
    """Return the first letters of a cell in quotation marks, fit to be shown."""
    shown = " ".join(plain_signs(text).split())
    return f"“{shown[:SHOWN]}{'…' if len(shown) > SHOWN else ''}”"


def _path(path: object) -> Path:
    try:
        return Path(os.fsdecode(path)).expanduser()  # type: ignore[arg-type]
    except (TypeError, ValueError, RuntimeError):
        valid = 'the path of a CSV file, such as "my-log.csv", or an open file'
        raise ValidityError("path", quoted(path), valid, "", "is no path") from None


def _kind(file: Path) -> tuple[int, int]:
    """Return mode and size of a file that is there."""
    try:
        found = file.stat()
    except (FileNotFoundError, NotADirectoryError):
        message = f"there is no file {repr(file.name)[:80]} in that folder ({_beside(file)})"
        raise FileNotFoundError(f"{message}; check name and folder") from None
    except (OSError, ValueError) as problem:
        raise _unopened(file, problem) from None
    return found.st_mode, found.st_size


def _beside(file: Path) -> str:
    try:
        near = sorted(other.name for other in file.parent.glob("*.csv"))[:8]
    except OSError:
        near = []
    names = plain_signs(", ".join(near))
    return f"CSV files beside it: {names}" if near else "no CSV file is there"


def _unopened(file: Path, problem: OSError | ValueError) -> ValidityError:
    why = getattr(problem, "strerror", None) or "that is no name of a file"
    valid = "the path of a CSV file that may be read"
    return ValidityError("path", repr(file.name)[:80], valid, "", f"cannot be opened: {why}")


def _too_large(parameter: str, shown: str) -> ValidityError:
    valid = f"up to {LARGEST_FILE // 1_000_000} MB"
    return ValidityError(parameter, shown, valid, "", "is too large for a test log")


def _read(stream: object) -> object:
    """Return what an open file still holds, and no more than a little too much of it."""
    try:
        return stream.read(LARGEST_FILE + 1)  # type: ignore[attr-defined]
    except (OSError, ValueError, TypeError, AttributeError) as problem:
        words = str(problem)[:80]
        valid = "a file that is open for reading; or give its path"
        raise ValidityError("log", quoted(stream), valid, "", f"says: {words}") from None


def _decoded(data: bytes, shown: str) -> tuple[str, str]:
    """Return the text of a file, and a remark if its letters were not in UTF-8."""
    if data.startswith(WORKBOOKS):
        why = "is a workbook, not a CSV file; save it as CSV first"
        raise ValidityError("path", shown, "a CSV file", "", why)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16", errors="replace")
        return text, "some letters could not be read" if UNREAD in text else ""
    if b"\x00" in data:
        raise ValidityError("path", shown, "a CSV file of text", "", "holds no plain text")
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        remark = "letters are not in UTF-8; read as Windows (Latin-1) text"
    try:
        return data.decode("cp1252"), remark
    except UnicodeDecodeError:
        # Five bytes mean nothing on Windows; every byte is some sign in Latin-1.
        return data.decode("latin-1"), remark
