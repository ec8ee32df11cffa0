"""The lessons as they were shipped: where they lie, and the one that a few letters mean."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from aqualib.files import shipped
from aqualib.validity import ValidityError, quoted

FIRST = "00-start-here.ipynb"
WORKSHOP = "leading/workshop.ipynb"
"""The notebook of an evening with a group, among what is for whoever leads."""
CODE_ONLY = "code-only"
"""The tag of a cell that makes no sense where no code is seen; a page runs it and hides it."""


def shipped_lessons() -> dict[str, Path]:
    """Return where each lesson lies, by its file's name and in the order of the course."""
    return {path.name: path for path in sorted(shipped("lessons", FIRST).glob("*.ipynb"))}


def shipped_workshop() -> Path:
    """Return where the workshop's notebook lies."""
    return shipped("lessons", FIRST) / WORKSHOP


def page_meant(asked: str, names: list[str]) -> str:
    """Return the page that a word on the command line means: a lesson, or the workshop."""
    return WORKSHOP if asked == Path(WORKSHOP).stem else lesson_meant(asked, names)


def title_of(cells: Iterable[Mapping[str, Any]]) -> str:
    """Return the first heading of a notebook, "" if it has none."""
    for cell in cells:
        for line in "".join(cell["source"]).splitlines():
            if line.startswith("# ") and cell["cell_type"] == "markdown":
                return line.removeprefix("# ").strip()
    return ""


def lesson_meant(asked: str, names: list[str]) -> str:
    """Return the one lesson that `asked` means: "04", "4", or the name of its file."""
    wanted = Path(asked).name.removesuffix(".ipynb")
    number = f"{int(wanted):02d}-" if wanted.isdecimal() and wanted.isascii() else ""
    for name in names:
        if name.removesuffix(".ipynb") == wanted or (number and name.startswith(number)):
            return name
    numbers = ", ".join(name.partition("-")[0] for name in names)
    raise ValidityError("lesson", quoted(asked), f"one of {numbers}", "", "is none of the lessons")
