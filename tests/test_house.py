"""The house keeps its order: imports run down, modules stay short, nothing heavy comes along."""

from __future__ import annotations

import ast
import graphlib
import importlib
import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

from inventory import (
    EQUATION_MODULES,
    EQUATION_ROOMS,
    PACKAGE,
    ROOT,
    door_of,
    edges,
)

from aqualib.edge import PublicFunction

# From the ground up; a module may import from a lower floor, or from its own room.
FLOORS = (
    ("validity",),
    ("files", "setting", "tables", "written_numbers"),
    ("units", "sources", "running_tank"),
    ("arguments", "parameters", "docstrings"),
    ("records", "draws"),
    ("edge",),
    ("checks", "measured"),
    ("water",),
    ("filtration",),
    ("tank",),
    ("lesson",),
    ("__main__",),
)
FLOOR_OF = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}
HEAVY = ("matplotlib", "ipywidgets", "pandas", "anywidget", "PyCO2SYS")
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "aqualib", "data", "lessons", "tests"}
# They swallow errors, leak figures, flicker, or break nbval (see DEVELOPERS.md).
UNWANTED_NAMES = {"pyplot", "interact", "interactive", "interactive_output", "Output"}
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "common", "misc"}
MOST_CODE = 250
"""Lines of a module; docstrings, comments and blanks do not count: prose cuts no code apart."""

# The names that the outside world may rely on, each behind its door.
CONTRACT = {
    "units": "Q set_units show",
    "water.properties": "density dynamic_viscosity salinity_from_specific_gravity",
    "water.oxygen": "saturation",
    "water.ammonia": "unionised_fraction acute_criterion chronic_criterion",
    "water.nitrogen": "oxygen_demand alkalinity_demand as_nitrate nitrate_as_nitrogen",
    "filtration.media": "immersion_porosity sphere_bed_area",
    "filtration.biofilm": "effectiveness_factor penetration_depth diffusivity",
    "filtration.hydraulics": "bed_pressure_loss hose_head_loss operating_point",
    "filtration.capture": "settling_velocity settled_fraction equal_load_efficiencies",
    "filtration.ultraviolet": "annular_fluence log_inactivation",
    "filtration.carbon": "freundlich_loading empty_bed_contact_time batch_equilibrium",
    "tank.load": "ammonia_production",
    "tank.upkeep": "after_water_changes steady_peak steady_trough",
    "tank.maturation": "simulate Scenario",
    "tank.sizing": "required_media audit_rule",
    "tank.plan": "System make_plan load_system",
    "tank.symptoms": "diagnose symptoms",
}

FILES = sorted(PACKAGE.rglob("*.py"))
ROOMS = [PACKAGE / room for room in EQUATION_ROOMS]
DOORS_OF_FUNCTIONS = sorted({door_of(name).removeprefix("aqualib.") for name in EQUATION_MODULES})
DOORS = [p for p in FILES if p.name == "__init__.py" and p.parent not in {PACKAGE, *ROOMS}]


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in FILES}


def room_of(module_name: str) -> str:
    return module_name.split(".")[1] if "." in module_name else ""


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def imported_names(path: Path) -> set[str]:
    """Everything a module imports, wherever in the module, as full names."""
    names: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full"
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return names


def own_imports(path: Path) -> set[str]:
    """The modules of the package that a module imports."""
    return {name for name in imported_names(path) if name in MODULES and name != "aqualib"}


def test_imports_only_run_down():
    wrong = []
    for name, path in MODULES.items():
        here = room_of(name)
        for other in own_imports(path):
            there = room_of(other)
            if there != here and (not here or FLOOR_OF[there] >= FLOOR_OF[here]):
                wrong.append(f"{name} must not import {other}")
    assert wrong == []


def test_every_module_has_a_floor():
    assert {room_of(name) for name in MODULES} - {""} == set(FLOOR_OF)


def test_imports_go_round_in_no_circle():
    graph = {}
    for name, path in MODULES.items():
        # Importing from a package also names the package; its own modules may do so.
        graph[name] = {n for n in own_imports(path) if not name.startswith(f"{n}.")}
    list(graphlib.TopologicalSorter(graph).static_order())


STEPS = (
    "import aqualib",
    "aqualib.units.Q(1, 'm'), aqualib.water",
    "\n".join(f"import {name}" for name in EQUATION_MODULES),
)


@cache
def loaded_after() -> list[set[str]]:
    """The names of all modules loaded in a fresh interpreter, after each of the steps."""
    shown = "import sys; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", "\n".join(f"{step}\n{shown}" for step in STEPS)],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent)},
    )
    return [set(line.split()) for line in done.stdout.splitlines()]


def test_import_of_the_package_loads_nothing():
    loaded = loaded_after()[0]
    assert loaded & {"pint", "numpy", "scipy", *HEAVY} == set()
    assert {name for name in loaded if name.startswith("aqualib")} == {"aqualib"}


def test_rooms_open_when_they_are_asked_for():
    loaded = loaded_after()[1]
    assert {"aqualib.units", "aqualib.water", "pint"} <= loaded
    assert "aqualib.tank" not in loaded


def test_equations_load_nothing_heavy():
    loaded = loaded_after()[2]
    assert loaded >= set(EQUATION_MODULES)
    assert loaded & set(HEAVY) == set()


def test_public_functions_live_with_the_equations():
    """`public` is used in water, filtration and tank, where the tests look for it."""
    users = [name for name in MODULES if "aqualib.edge.public" in imported_names(MODULES[name])]
    assert users
    assert [name for name in users if room_of(name) not in EQUATION_ROOMS] == []


def lines_of_code(path: Path) -> int:
    """How many lines hold code: neither blank, nor comment, nor docstring."""
    prose: set[int] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            prose |= set(range(node.lineno, node.end_lineno + 1))
    lines = enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
    return sum(
        bool(line.strip()) and not line.lstrip().startswith("#") and number not in prose
        for number, line in lines
    )


def test_modules_are_short():
    counted = {str(path.relative_to(PACKAGE)): lines_of_code(path) for path in FILES}
    assert {name: lines for name, lines in counted.items() if lines > MOST_CODE} == {}


def test_modules_say_what_they_are():
    first = {path: (ast.get_docstring(tree_of(path)) or "").partition("\n")[0] for path in FILES}
    assert [path for path, line in first.items() if not line.endswith((".", ":", "?"))] == []


def test_front_doors_are_written_imports_only():
    """What a room offers is what its door imports from the files behind it, and nothing more."""
    wrong = []
    for path in DOORS:
        room = name_of(path)
        for node in tree_of(path).body[1:]:
            own = isinstance(node, ast.ImportFrom) and node.module.startswith(f"{room}.")
            future = isinstance(node, ast.ImportFrom) and node.module == "__future__"
            if not own and not future:
                wrong.append(f"{room}, line {node.lineno}")
    assert wrong == []


def test_each_public_function_has_one_door():
    doors = {door: importlib.import_module(f"aqualib.{door}") for door in DOORS_OF_FUNCTIONS}
    offered = [
        f"{door}.{name}"
        for door, module in doors.items()
        for name, thing in vars(module).items()
        if isinstance(thing, PublicFunction) and thing.__module__.startswith(module.__name__)
    ]
    assert sorted(offered) == sorted(edges())


def test_the_names_of_the_contract_are_there():
    missing = [
        f"{door}.{name}"
        for door, names in CONTRACT.items()
        for name in names.split()
        if not hasattr(importlib.import_module(f"aqualib.{door}"), name)
    ]
    assert missing == []


def test_files_are_named_for_what_they_hold():
    """No file begins with the name of its folder, and none bears the name of what is in it."""
    wrong = []
    for path in [p for p in FILES if p.parent.parent.name in EQUATION_ROOMS]:
        inside = {
            n.name for n in tree_of(path).body if isinstance(n, ast.FunctionDef | ast.ClassDef)
        }
        if path.stem in inside or path.stem.startswith(path.parent.name):
            wrong.append(str(path.relative_to(PACKAGE)))
    assert wrong == []


def test_no_vague_module_names():
    everywhere = [*FILES, *(ROOT / "tests").rglob("*.py")]
    assert [path.name for path in everywhere if path.stem.strip("_") in VAGUE_NAMES] == []
    folders = [path for path in PACKAGE.rglob("*") if path.is_dir()]
    assert [path.name for path in folders if path.name in VAGUE_NAMES] == []


def names_in(source: str) -> set[str]:
    """Every name, attribute and imported name in a piece of code."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.Attribute):
            found.add(node.attr)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            found |= {part for alias in node.names for part in alias.name.split(".")}
            found |= set((getattr(node, "module", "") or "").split("."))
    return found


def test_modules_use_no_unwanted_name():
    used = {path: names_in(path.read_text(encoding="utf-8")) & UNWANTED_NAMES for path in FILES}
    assert {path: names for path, names in used.items() if names} == {}


def code_cells(path: Path) -> list[str]:
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]


def test_lessons_use_no_unwanted_name():
    cells = [
        (path.name, code)
        for path in sorted((ROOT / "lessons").rglob("*.ipynb"))
        for code in code_cells(path)
    ]
    assert cells
    not_plain = [(name, code) for name, code in cells if code.lstrip().startswith(("%", "!"))]
    assert not_plain == [], "plain Python only"
    assert [(name, code) for name, code in cells if names_in(code) & UNWANTED_NAMES] == []


def files_kept() -> list[str]:
    """Tracked files, and new ones that git would not ignore."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    return done.stdout.splitlines()


def test_top_level_is_what_was_agreed():
    top = {line.partition("/")[0] for line in files_kept()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


def test_tests_stand_beside_what_they_test():
    """The tree of tests mirrors the package: each module of equations has a file there."""
    wanted = {name: Path("tests", *name.split(".")[1:]) for name in EQUATION_MODULES}
    missing = [
        name
        for name, place in wanted.items()
        if not (ROOT / place.with_name(f"test_{place.name}.py")).is_file()
    ]
    assert missing == []
