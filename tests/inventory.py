"""What the package holds, found by walking it: modules, public functions, rows."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache, lru_cache
from pathlib import Path

import aqualib
from aqualib.checks import WEAK_KINDS, CheckValue, Outcome, check_values, evaluate
from aqualib.edge import Model, PublicFunction

PACKAGE = Path(aqualib.__file__).resolve().parent
ROOT = PACKAGE.parent
EQUATION_ROOMS = ("water", "filtration", "tank")


def module_names(*rooms: str) -> list[str]:
    """Full names of the modules in these rooms, packages left out; every module if no room."""
    roots = [f"aqualib.{room}" for room in rooms] or ["aqualib"]
    names = []
    for root in roots:
        path = [str(PACKAGE / part) for part in root.split(".")[1:]] or [str(PACKAGE)]
        names += [m.name for m in pkgutil.walk_packages(path, f"{root}.") if not m.ispkg]
    # JupyterHub reads its configuration with names that only it brings along.
    return sorted(name for name in names if not name.endswith(".jupyterhub_config"))


EQUATION_MODULES = module_names(*EQUATION_ROOMS)


def door_of(module_name: str) -> str:
    """The front door of a module: the room it stands in, or itself where it is the room."""
    room = module_name.rpartition(".")[0]
    return room if room.count(".") == 2 else module_name


@lru_cache(maxsize=1)
def public_functions() -> dict[str, PublicFunction]:
    """Every public function by the name its rows use, such as "water.oxygen.saturation"."""
    return {path: thing for path, thing in edges().items() if type(thing) is PublicFunction}


@lru_cache(maxsize=1)
def models() -> dict[str, Model]:
    """Every run of one case, such as "filtration.capture.clog_run"; no row speaks for it."""
    return {path: thing for path, thing in edges().items() if isinstance(thing, Model)}


@lru_cache(maxsize=1)
def edges() -> dict[str, PublicFunction]:
    """Everything with a checked edge, by the name its rows use."""
    found = {}
    for module_name in EQUATION_MODULES:
        door = door_of(module_name).removeprefix("aqualib.")
        for name, thing in vars(importlib.import_module(module_name)).items():
            if isinstance(thing, PublicFunction) and thing.__module__ == module_name:
                found[f"{door}.{name}"] = thing
    return found


def output_names(function: PublicFunction) -> list[str]:
    """The result fields that rows name in their `output`; one empty name for a single result."""
    return [""] if isinstance(function.returns, str) else list(function.returns)


def strong_rows(path: str, output: str | None = None) -> list[CheckValue]:
    """The rows of a function that count as a reason to trust it."""
    rows = [r for r in check_values() if r.function == path and r.kind not in WEAK_KINDS]
    return rows if output is None else [r for r in rows if r.output == output]


@cache
def outcome_of(row_id: str) -> Outcome:
    """What our function makes of one row, computed once for all tests."""
    return evaluate(next(row for row in check_values() if row.id == row_id))
