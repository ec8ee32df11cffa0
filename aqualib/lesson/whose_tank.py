"""Whose tank the panels open on: the lessons' example, or the learner's own."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from aqualib.setting import Setting
from aqualib.tank.plan import System, example_system, load_system, numbers_for_lessons
from aqualib.validity import ValidityError

EXAMPLE, MINE = "example", "mine"
TANKS = (EXAMPLE, MINE)
FOLDER, FILE = "mine", "tank.json"
whose_tank = Setting("tank", TANKS)


class OwnNumbers(NamedTuple):
    """The learner's numbers, by the name of their row and in its unit."""

    name: str
    by_row: dict[str, float]
    system: System | None


_own = [OwnNumbers("", {}, None)]


def own_file() -> Path:
    """Return where the learner's own tank is kept, beside the lessons."""
    return Path.cwd() / FOLDER / FILE


def use_tank(tank: str, file: Path | None = None) -> None:
    """Let all panels open on the example or on the learner's own tank, which is read anew."""
    whose_tank.known(tank)
    if tank == EXAMPLE:
        whose_tank.set(EXAMPLE)
        return
    system = load_system(_there(file or own_file()))
    _own[0] = OwnNumbers(system.name, numbers_for_lessons(system), system)
    # Read again with other numbers: those who follow are told in any case.
    whose_tank.set(EXAMPLE)
    whose_tank.set(MINE)


def _there(file: Path) -> Path:
    if not file.is_file():
        valid = "a tank that was told in the form of lesson 00"
        raise ValidityError("your tank", f"{FOLDER}/{FILE}", valid, "", "is not there yet")
    return file


def own_number(row: str) -> float | None:
    """Return the learner's number for a row, if their tank is in use and has one."""
    return _own[0].by_row.get(row) if whose_tank.value == MINE else None


def system_in_use() -> System:
    """Return the whole system in use: the lessons' example, or the learner's own."""
    own = _own[0].system if whose_tank.value == MINE else None
    return own or example_system()
