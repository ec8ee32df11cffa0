"""The house keeps its order: imports run down, modules stay short, nothing heavy comes along."""

from __future__ import annotations

import ast
import graphlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from inventory import EQUATION_MODULES, EQUATION_ROOMS, PACKAGE, ROOT

# From the ground up; a module may import from a lower floor, or from its own room.
FLOORS = (
    ("validity", "files"),
    ("setting",),
    ("units", "sources"),
    ("edge", "parameters"),
    ("checks",),
    ("water",),
    ("filtration",),
    ("tank",),
    ("lesson",),
)
FLOOR_OF = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}
HEAVY = ("matplotlib", "ipywidgets", "pandas", "anywidget", "PyCO2SYS")
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "aqualib", "data", "lessons", "tests"}
# They swallow errors, leak figures, flicker, or break nbval (see DEVELOPERS.md).
UNWANTED_NAMES = {"pyplot", "interact", "interactive", "interactive_output", "Output"}
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "common", "misc"}
LONGEST_MODULE = 320

FILES = sorted(PACKAGE.rglob("*.py"))
EACH_FILE = pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(PACKAGE)))


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in FILES}


def room_of(module_name: str) -> str:
    return module_name.split(".")[1] if "." in module_name else ""


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


@EACH_FILE
def test_imports_only_run_down(path):
    here = room_of(name_of(path))
    for name in own_imports(path):
        there = room_of(name)
        if there != here:
            assert here, f"aqualib itself stays light, and imports nothing such as {name}"
            assert FLOOR_OF[there] < FLOOR_OF[here], f"{name_of(path)} must not import {name}"


def test_every_module_has_a_floor():
    assert {room_of(name) for name in MODULES} - {""} == set(FLOOR_OF)


def test_imports_go_round_in_no_circle():
    graph = {}
    for name, path in MODULES.items():
        # Importing from a package also names the package; its own modules may do so.
        graph[name] = {n for n in own_imports(path) if not name.startswith(f"{n}.")}
    list(graphlib.TopologicalSorter(graph).static_order())


def loaded_by(*lines: str) -> set[str]:
    """The names of all modules loaded after these lines in a fresh interpreter."""
    program = "\n".join([*lines, "import sys", "print('\\n'.join(sys.modules))"])
    environment = {**os.environ, "PYTHONPATH": str(PACKAGE.parent)}
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, env=environment
    )
    return set(done.stdout.split())


def test_equations_load_nothing_heavy():
    loaded = loaded_by(*(f"import {name}" for name in EQUATION_MODULES))
    assert loaded >= set(EQUATION_MODULES)
    assert loaded & set(HEAVY) == set()


def test_import_of_the_package_loads_nothing():
    loaded = loaded_by("import aqualib")
    assert loaded & {"pint", "numpy", "scipy", *HEAVY} == set()
    assert {name for name in loaded if name.startswith("aqualib")} == {"aqualib"}


def test_rooms_open_when_they_are_asked_for():
    loaded = loaded_by("import aqualib", "aqualib.units.Q(1, 'm')", "aqualib.water")
    assert {"aqualib.units", "aqualib.water", "pint"} <= loaded
    assert "aqualib.tank" not in loaded


def test_public_functions_live_with_the_equations():
    """`public` is used in water, filtration and tank, where the tests look for it."""
    for name, path in MODULES.items():
        if "aqualib.edge.public" in imported_names(path):
            assert room_of(name) in EQUATION_ROOMS, name


@EACH_FILE
def test_module_is_short(path):
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= LONGEST_MODULE


@EACH_FILE
def test_module_says_what_it_is(path):
    docstring = ast.get_docstring(tree_of(path))
    assert docstring
    assert docstring.splitlines()[0].endswith((".", ":", "?"))


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


@EACH_FILE
def test_module_uses_no_unwanted_name(path):
    assert names_in(path.read_text(encoding="utf-8")) & UNWANTED_NAMES == set()


def code_cells(path: Path) -> list[str]:
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "code"]


def test_lessons_use_no_unwanted_name():
    for path in sorted((ROOT / "lessons").rglob("*.ipynb")):
        for code in code_cells(path):
            assert not code.lstrip().startswith(("%", "!")), f"{path.name}: plain Python only"
            assert names_in(code) & UNWANTED_NAMES == set(), path.name


def files_kept() -> list[str]:
    """Tracked files, and new ones that git would not ignore."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    return done.stdout.splitlines()


def test_top_level_is_what_was_agreed():
    top = {line.partition("/")[0] for line in files_kept()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


def test_tests_stand_beside_what_they_test():
    """Each equation module has a test file of its own, named after room and module."""
    missing = [
        name
        for name in EQUATION_MODULES
        if not (ROOT / "tests" / f"test_{'_'.join(name.split('.')[1:])}.py").is_file()
    ]
    assert missing == []
