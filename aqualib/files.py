"""Where the data files are, in a checkout or in a wheel, and the rows of the tables among them."""

from __future__ import annotations

import csv
import os
import tomllib
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from aqualib.validity import ValidityError

PACKAGE = Path(__file__).resolve().parent
PROJECT = "aqualib"


def data_file(name: str) -> Path:
    """Return the path of a file in `data/`, whichever way the package was installed."""
    return shipped("data", "check_values.csv", name) / name


def shipped(folder: str, *needed: str) -> Path:
    """Return a folder that is shipped with the package and holds the files needed."""
    # In a checkout the files at the top win, so that an edit is seen without a reinstall.
    top = PACKAGE.parent
    places = [top / folder] if is_checkout(top) else []
    places.append(PACKAGE / folder)
    for place in places:
        if all((place / name).is_file() for name in needed):
            return place
    message = f"no {' and '.join(needed)} in any of {[str(place) for place in places]}"
    raise FileNotFoundError(message)


@lru_cache(maxsize=8)
def is_checkout(folder: Path) -> bool:
    """Return whether a folder is this project's own; beside an installed package lie others'."""
    try:
        text = (folder / "pyproject.toml").read_text(encoding="utf-8")
        project = tomllib.loads(text).get("project", {})
        return bool(project["name"] == PROJECT)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return False


def rows_of(path: Path, columns: tuple[str, ...] = ()) -> list[dict[str, str]]:
    """Return the rows of a table with a header line; the mark some programs put first is cut.

    A row with a cell too many or too few is refused, and so are headings other than `columns`.
    """
    with path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file)
        try:
            return list(_whole_rows(reader, path, columns))
        except UnicodeDecodeError:
            raise _refused(path, "its letters", "other than UTF-8", "UTF-8") from None
        except csv.Error as problem:
            where = f"line {reader.line_num + 1}"
            raise _refused(path, where, str(problem), "cells between commas") from None


def _whole_rows(
    reader: csv.DictReader[str], path: Path, columns: tuple[str, ...]
) -> Iterator[dict[str, str]]:
    headings = tuple(reader.fieldnames or ())
    if columns and headings != columns:
        raise _refused(path, "headings", ", ".join(headings), ", ".join(columns))
    for row in reader:
        if None in row or None in row.values():
            first = repr(next(iter(row.values())))[:60]
            raise _refused(path, f"line {reader.line_num}", first, f"{len(headings)} cells")
        yield row


def _refused(path: Path, place: str, value: str, valid: str) -> ValidityError:
    return ValidityError(f"data/{path.name}, {place}", value, valid, "", "is not right")


def replace_file(path: Path, text: str) -> None:
    """Write one of our own files in one step, so that nobody ever reads half of it."""
    draft = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        with draft.open("w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            # On the disk before it gets its name, so that a power cut leaves no empty file.
            os.fsync(file.fileno())
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)
