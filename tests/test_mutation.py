"""Each number in the equations is made one per cent larger: do the module's rows notice?

A mutated copy of the module is run beside the real one, and its strong rows are worked out again
until one disagrees; if none does, the rows of the modules that import it are, in copies that use
the mutated one. A number that no row notices survives. The survivors must be on the list below,
each with the reason why a change of one per cent cannot, or need not, be seen.
"""

from __future__ import annotations

import ast
import copy
import graphlib
import importlib
import sys
import types
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from inventory import EQUATION_MODULES, door_of, public_functions, strong_rows

from aqualib.checks import check_values, evaluate

# "module function number #occurrence" -> why it survives
SURVIVORS: dict[str, str] = {
    "water.ammonia module 40.0 #1": "where the sea-water formula ends: it refuses, nothing more",
    "water.ph_scales module 0.5 #1": "where fresh water ends, a choice; a row there would pin it",
    "water.ph_scales module 20.0 #1": "where the NBS scale begins: it refuses, nothing more",
    "water.nitrite_limits module 1e-09 #1": "a hair for rounding: a larger one does as well",
    "water.carbonate_balance module 8 #1": "names a set of constants; 8.08 is cut to 8 again",
    "water.carbonate_balance module 10 #1": "names a set of constants; 10.1 is cut to 10 again",
    "water.carbonate_balance module 15 #1": "names a set of constants; 15.15 is cut to 15 again",
    "water.carbonate_balance module 19.0 #1": "border of two sets that agree within 0.01 of pH",
    "water.carbonate_balance module 2.0 #1": "border in temperature of the same two sets",
    "water.carbonate_balance module 35.0 #1": "border in temperature of the same two sets",
    "water.carbonate_balance module 2.0 #2": "the search for pH may start lower or higher",
    "water.carbonate_balance module 13.0 #1": "the search for pH may start lower or higher",
    "water.carbonate_balance _constants 1e-06 #2": "free hydrogen and bisulphate add up to the "
    "total-scale hydrogen however much sulphate there is",
    "water.carbonate_balance other_alkalinity 1.0 #2": "nothing beside the 1e4 it is added to",
    "water.carbonate_balance other_alkalinity 1.0 #3": "nothing beside the 1e3 it is added to",
    "filtration.capture.recirculation first_crossing 1 #1": "the point before; its test notices",
    "filtration.capture.recirculation first_crossing 1 #2": "the point before; its test notices",
    "filtration.capture.stages staged_loads 1 #1": "a shape that is refused; its test notices",
    "filtration.capture.stages staged_loads 2 #1": "a shape that is refused; its test notices",
    "filtration.capture.stages staged_loads 1 #2": "a shape that is refused; its test notices",
    "filtration.capture.stages staged_loads 1 #3": "a count; its test notices",
    "filtration.capture.stages equal_load_efficiencies 1 #1": "a count; its test notices",
    "filtration.biofilm.film_law film_in_water 0.1 #1": "a film that was never measured; its test",
    "tank.sizing.flow_past module 1e-15 #1": "where the search for a level begins",
    "tank.sizing.flow_past module 1000000.0 #1": "where the search for a level ends",
    "tank.sizing.flow_past _fallen 2.0 #1": "where the search for the fall begins",
    "tank.sizing.flow_past _fallen 0.5 #1": "the middle of what is left to search",
    "tank.sizing.flow_past _fallen 1e-14 #1": "where the search ends",
    "tank.sizing.flow_past _fallen 1.0 #1": "where the search ends",
    "filtration.capture.particle_sizes size_classes 1 #1": "a count; its test notices",
    "filtration.capture.particle_sizes size_classes 30 #1": "a count; its test notices",
}

# Calls at module level that set what is accepted, not what is computed.
LIMITS = {"Range", "OneOf", "YesNo"}


class Finder(ast.NodeVisitor):
    """Collects the numbers of a module that take part in a computation."""

    def __init__(self, checks: set[str]):
        self.checks = checks
        self.where = ["module"]
        self.found: list[tuple[str, ast.Constant]] = []

    def visit_FunctionDef(self, node):
        # Neither checks, decorators nor annotations: they hold limits, not equations.
        if node.name in self.checks:
            return
        self.where.append(node.name)
        for default in [*node.args.defaults, *filter(None, node.args.kw_defaults)]:
            self.visit(default)
        for statement in node.body:
            self.visit(statement)
        self.where.pop()

    def visit_ClassDef(self, node):
        self.where.append(node.name)
        for statement in node.body:
            self.visit(statement)
        self.where.pop()

    def visit_AnnAssign(self, node):
        if node.value is not None:
            self.visit(node.value)

    def visit_Subscript(self, node):
        self.visit(node.value)  # an index is not a number of the equation

    def visit_Raise(self, node):
        pass

    def visit_Call(self, node):
        if isinstance(node.func, ast.Name) and node.func.id in LIMITS:
            return
        self.generic_visit(node)

    def visit_Constant(self, node):
        if isinstance(node.value, int | float) and not isinstance(node.value, bool) and node.value:
            self.found.append((self.where[-1], node))


def functions_that_check(tree: ast.Module) -> set[str]:
    """The functions given as `together=`: they refuse, they compute nothing."""
    keywords = [node for node in ast.walk(tree) if isinstance(node, ast.keyword)]
    return {k.value.id for k in keywords if k.arg == "together" and isinstance(k.value, ast.Name)}


def numbers_of(tree: ast.Module, module_name: str) -> dict[str, ast.Constant]:
    """The numbers of a module by a name that does not change when lines move."""
    finder = Finder(functions_that_check(tree))
    finder.visit(tree)
    seen: Counter[str] = Counter()
    named = {}
    for where, node in finder.found:
        name = f"{module_name.removeprefix('aqualib.')} {where} {node.value!r}"
        seen[name] += 1
        named[f"{name} #{seen[name]}"] = node
    return named


DOORS = sorted({door_of(name) for name in EQUATION_MODULES} - set(EQUATION_MODULES))
"""The front doors, through which one room imports from another."""


@cache
def parse(module_name: str) -> ast.Module:
    path = Path(importlib.import_module(module_name).__file__)
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


@cache
def unchanged(module_name: str) -> types.CodeType:
    return compile(parse(module_name), importlib.import_module(module_name).__file__, "exec")


def run_copy(module_name: str, tree: ast.Module | None = None) -> types.ModuleType:
    """Run the tree as a module of its own; the rest of the package keeps the real one."""
    module = types.ModuleType(module_name)
    module.__file__ = importlib.import_module(module_name).__file__
    code = unchanged(module_name) if tree is None else compile(tree, module.__file__, "exec")
    exec(code, vars(module))  # noqa: S102 - our own code
    return module


@cache
def tightest_first(module_name: str) -> list:
    """The strong rows of a module's functions, those first that notice most."""
    here = [path for path, thing in public_functions().items() if thing.__module__ == module_name]
    rows = [row for path in here for row in strong_rows(path)]
    return sorted(rows, key=lambda row: row.allowed / (abs(row.expected) or 1.0))


def one_disagrees(module: types.ModuleType, rows: list) -> bool:
    for row in rows:
        try:
            agrees = evaluate(row, getattr(module, row.function.rpartition(".")[2])).agrees
        except Exception:  # noqa: BLE001 - any error is as loud as a red row
            return True
        if not agrees:
            return True
    return False


@cache
def imports_of(module_name: str) -> set[str]:
    """The equation modules that a module imports from."""
    named = set()
    for node in [n for n in ast.walk(parse(module_name)) if isinstance(n, ast.ImportFrom)]:
        within = {f"{node.module}.{alias.name}" for alias in node.names} & set(EQUATION_MODULES)
        # A file taken out of its own room does not rest on the room's door.
        named |= within or {node.module}
    return named & {*EQUATION_MODULES, *DOORS}


@cache
def importers_of(module_name: str) -> tuple[str, ...]:
    """The modules that rest on this one, nearest first."""
    found: list[str] = []
    waiting = [module_name]
    while waiting:
        rests_on = waiting.pop()
        all_of_them = (*EQUATION_MODULES, *DOORS)
        new = [m for m in all_of_them if rests_on in imports_of(m) and m not in found]
        found += new
        waiting += new
    order = graphlib.TopologicalSorter({m: imports_of(m) & set(found) for m in found})
    return tuple(order.static_order())


def is_noticed(module_name: str, tree: ast.Module) -> bool:
    """True if a row disagrees with the module made from this tree, or with one that rests on it."""
    with pytest.MonkeyPatch.context() as patch:
        for name in (module_name, *importers_of(module_name)):
            try:
                module = run_copy(name, tree if name == module_name else None)
            except Exception:  # noqa: BLE001 - the copy does not even run
                return True
            if one_disagrees(module, tightest_first(name)):
                return True
            patch.setitem(sys.modules, name, module)
    return False


def survivors_of(module_name: str) -> list[str]:
    tree = copy.deepcopy(parse(module_name))
    survivors = []
    for name, node in numbers_of(tree, module_name).items():
        true_value, node.value = node.value, node.value * 1.01
        if not is_noticed(module_name, tree):
            survivors.append(name)
        node.value = true_value
    return survivors


def holds_equations(module_name: str) -> bool:
    """True if rows speak for the module; runs over time are held by balances and limits instead."""
    return module_name.startswith("aqualib.water.") or any(
        thing.__module__ == module_name for thing in public_functions().values()
    )


@pytest.mark.parametrize("module_name", [m for m in EQUATION_MODULES if holds_equations(m)])
def test_every_number_is_noticed(module_name):
    with np.errstate(all="ignore"):
        survivors = survivors_of(module_name)
    here = [name for name in numbers_of(parse(module_name), module_name) if name in SURVIVORS]
    assert [name for name in survivors if name not in here] == [], "no row notices 1 % more"
    assert [name for name in here if name not in survivors] == [], "noticed: take it off the list"


def test_list_of_survivors_is_current():
    known = {
        name: reason
        for module_name in EQUATION_MODULES
        for name, reason in numbers_of(parse(module_name), module_name).items()
    }
    assert [name for name in SURVIVORS if name not in known] == [], "gone from the code"
    assert all(reason.strip() for reason in SURVIVORS.values())


def test_the_unchanged_copy_agrees_with_all_rows():
    """The test itself is sound only if a copy without a change passes."""
    for module_name in EQUATION_MODULES:
        assert not is_noticed(module_name, parse(module_name)), module_name


def test_no_row_is_left_out():
    covered = {row.id for name in EQUATION_MODULES for row in tightest_first(name)}
    strong = {row.id for path in public_functions() for row in strong_rows(path)}
    assert covered == strong
    assert strong <= {row.id for row in check_values()}
