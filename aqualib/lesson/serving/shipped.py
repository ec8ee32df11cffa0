"""The lessons as they were shipped: where they lie, and the one that a few letters mean."""

from __future__ import annotations

from pathlib import Path

from aqualib.files import PACKAGE, is_checkout
from aqualib.validity import ValidityError, quoted

FIRST = "00-start-here.ipynb"
CODE_ONLY = "code-only"
"""The tag of a cell that makes no sense where no code is seen; a page runs it and hides it."""


def shipped_lessons() -> dict[str, Path]:
    """Return where each lesson lies, by its file's name and in the order of the course."""
    # In a checkout the folder at the top wins, as it does for the data.
    top = PACKAGE.parent
    places = (top / "lessons", PACKAGE / "lessons") if is_checkout(top) else (PACKAGE / "lessons",)
    for folder in places:
        if (folder / FIRST).is_file():
            return {path.name: path for path in sorted(folder.glob("*.ipynb"))}
    message = f"no lessons in {[str(place) for place in places]}"
    raise FileNotFoundError(message)


def lesson_meant(asked: str, names: list[str]) -> str:
    """Return the one lesson that `asked` means: "04", "4", or the name of its file."""
    wanted = Path(asked).name.removesuffix(".ipynb")
    number = f"{int(wanted):02d}-" if wanted.isdecimal() and wanted.isascii() else ""
    for name in names:
        if name.removesuffix(".ipynb") == wanted or (number and name.startswith(number)):
            return name
    numbers = ", ".join(name.partition("-")[0] for name in names)
    raise ValidityError("lesson", quoted(asked), f"one of {numbers}", "", "is none of the lessons")
