"""Whose tank the panels open on: the lessons' example, or the learner's own."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from aqualib.files import replace_file
from aqualib.lesson.own_folder import MINE as FOLDER
from aqualib.lesson.own_folder import mine, own_folder
from aqualib.setting import Setting
from aqualib.tank.plan import System, example_system, load_system, numbers_for_lessons
from aqualib.validity import ValidityError

EXAMPLE, MINE = "example", "mine"
TANKS = (EXAMPLE, MINE)
FILE, CHOICE = "tank.json", "chosen tank.txt"
whose_tank = Setting("tank", TANKS)


class OwnNumbers(NamedTuple):
    """The learner's numbers, by the name of their row and in its unit."""

    name: str
    by_row: dict[str, float]
    system: System | None


_own = [OwnNumbers("", {}, None)]
_begun = [False]
"""Whether the choice of the lesson before was looked at."""


def own_file() -> Path:
    """Return where the learner's own tank is kept, beside the lessons."""
    return mine() / FILE


def use_tank(tank: str, file: Path | None = None) -> None:
    """Let all panels open on the example or on the learner's own tank, which is read anew."""
    whose_tank.known(tank)
    _begun[0] = True
    if tank == EXAMPLE:
        whose_tank.set(EXAMPLE)
        _remember(EXAMPLE)
        return
    system = load_system(_there(file or own_file()))
    _own[0] = OwnNumbers(system.name, numbers_for_lessons(system), system)
    # Read again with other numbers: those who follow are told in any case.
    whose_tank.set(EXAMPLE)
    whose_tank.set(MINE)
    if file is None:
        _remember(MINE)


def _there(file: Path) -> Path:
    if not file.is_file():
        valid = "a tank that was told in the form of lesson 00"
        raise ValidityError("your tank", f"{FOLDER}/{FILE}", valid, "", "is not there yet")
    return file


def own_number(row: str) -> float | None:
    """Return the learner's number for a row, if their tank is in use and has one."""
    _begin()
    return _own[0].by_row.get(row) if whose_tank.value == MINE else None


def system_in_use() -> System:
    """Return the whole system in use: the lessons' example, or the learner's own."""
    _begin()
    own = _own[0].system if whose_tank.value == MINE else None
    return own or example_system()


def _remember(tank: str) -> None:
    """Keep the choice for the next lesson, in a learner's own folder only."""
    if own_folder():
        with suppress(OSError):
            mine().mkdir(exist_ok=True)
            replace_file(mine() / CHOICE, tank)


def _begin() -> None:
    """Take up what was chosen in the lesson before; a tank that cannot be read is left alone."""
    if _begun[0]:
        return
    _begun[0] = True
    with suppress(OSError, ValueError):
        chosen = (mine() / CHOICE).read_text(encoding="utf-8").strip()
        if own_folder() and chosen == MINE:
            use_tank(MINE)
