"""What is released holds all it needs (data, lessons, browser parts), and works on its own."""

from __future__ import annotations

import importlib.metadata
import os
import re
import shutil
import subprocess
import sys
import tarfile
import urllib.request
import zipfile
from pathlib import Path

import pytest
from inventory import PACKAGE, ROOT
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from runs_in_a_browser import PURE, PURE_BESIDE_COMPILED, PYODIDE
from served import served

from aqualib.files import is_checkout, rows_of
from aqualib.validity import ValidityError

DATA = ("references.json", "check_values.csv", "parameters.csv")
# What a browser part or a reader of types needs beside the modules.
BESIDE_MODULES = {".js", ".css", ".typed", ".html", ".j2", ".json"}
INSTALL = ("-m", "pip", "install", "--quiet", "--disable-pip-version-check")

ONE_CHECK_VALUE = """
from pathlib import Path
import aqualib
from aqualib.checks import evaluate, rows_by_id
from aqualib.files import data_file
print(Path(aqualib.__file__).parent)
print(data_file("check_values.csv"))
outcome = evaluate(rows_by_id("unionised-worked-25")[0])
print(outcome.agrees)
"""


def build(kind: str, top: Path, folder: Path) -> None:
    """Build a release with what is installed, nothing fetched."""
    command = [sys.executable, "-m", "hatchling", "build", "-t", kind, "-d", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=top, check=False)
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel, built from this checkout with what is installed, nothing fetched."""
    folder = tmp_path_factory.mktemp("wheel")
    build("wheel", ROOT, folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def unpacked(wheel, tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def test_name_of_the_wheel(wheel):
    assert wheel.name.startswith("aqualib-")
    assert wheel.name.endswith("-py3-none-any.whl")


@pytest.mark.parametrize("name", DATA)
def test_data_is_in_the_wheel_unchanged(unpacked, name):
    shipped = unpacked / "aqualib" / "data" / name
    assert shipped.read_bytes() == (ROOT / "data" / name).read_bytes()


def test_all_of_data_is_in_the_wheel(unpacked):
    here = {p.relative_to(ROOT / "data") for p in (ROOT / "data").rglob("*") if p.is_file()}
    there = unpacked / "aqualib" / "data"
    assert {p.relative_to(there) for p in there.rglob("*") if p.is_file()} == here


def test_every_module_and_what_stands_beside_it_is_in_the_wheel(unpacked):
    wanted = {
        path.relative_to(PACKAGE)
        for path in PACKAGE.rglob("*")
        if path.suffix in {".py", *BESIDE_MODULES} or path.name == "py.typed"
    }
    assert Path("py.typed") in wanted
    shipped = {p.relative_to(unpacked / "aqualib") for p in (unpacked / "aqualib").rglob("*")}
    assert wanted <= shipped


def test_nothing_else_is_in_the_wheel(unpacked):
    top = {path.name for path in unpacked.iterdir()}
    assert {name for name in top if not name.endswith(".dist-info")} == {"aqualib"}
    strange = [p for p in unpacked.rglob("*") if p.suffix == ".pyc" or "checkpoint" in p.name]
    assert strange == []


def test_lessons_are_in_the_wheel_unchanged(unpacked):
    here = {p.name: p.read_bytes() for p in (ROOT / "lessons").glob("*.ipynb")}
    there = (unpacked / "aqualib" / "lessons").glob("*.ipynb")
    assert {p.name: p.read_bytes() for p in there} == here


def test_what_is_for_leaders_is_in_the_wheel_unchanged(unpacked):
    leading = (ROOT / "lessons" / "leading").iterdir()
    # Rubrics and model answers are the lecturer's, and in nothing that a learner installs.
    here = {p.name: p.read_bytes() for p in leading if p.is_file() and p.name != "answers.json"}
    there = unpacked / "aqualib" / "lessons" / "leading"
    assert {p.name: p.read_bytes() for p in there.iterdir()} == here
    assert here.keys() >= {"workshop.ipynb", "run-sheet.md", "module.md"}


def test_what_a_learner_left_among_the_lessons_is_not_released(tmp_path):
    top = tmp_path / "checkout"
    for part in ("aqualib", "data", "lessons"):
        shutil.copytree(ROOT / part, top / part, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", ".gitignore"):
        shutil.copy(ROOT / name, top)
    for odd in ("lessons/.ipynb_checkpoints/00-checkpoint.ipynb", "lessons/mine/tank.json"):
        (top / odd).parent.mkdir(exist_ok=True)
        (top / odd).write_text("{}")
    (top / "lessons" / "leading").mkdir(exist_ok=True)
    (top / "lessons" / "leading" / "sheet.md").write_text("for leaders")
    build("wheel", top, tmp_path)
    with zipfile.ZipFile(next(tmp_path.glob("*.whl"))) as archive:
        names = {name for name in archive.namelist() if name.startswith("aqualib/lessons/")}
    assert "aqualib/lessons/leading/sheet.md" in names
    assert not any("mine" in name or "checkpoint" in name for name in names)


def test_the_version_stands_once_and_has_its_line_of_changes(wheel):
    import aqualib

    assert wheel.name.split("-")[1] == aqualib.__version__
    changes = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Changes")[2]
    assert re.findall(r"^\*\*(\d+\.\d+\.\d+)", changes, re.MULTILINE)[0] == aqualib.__version__
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    assert f"version = {{{aqualib.__version__}}}" in readme, "under How to cite"


# What the browser edition can do without: the page it stands in is the Jupyter.
IN_A_BROWSER = {
    "sys_platform": "emscripten",
    "platform_system": "Emscripten",
    "platform_machine": "wasm32",
    "extra": "",
}


def needs_in_a_browser(metadata):
    """Every package that the wheel needs there, and what those need in turn."""
    found, ask = set(), metadata.get_all("Requires-Dist")
    while ask:
        need = Requirement(ask.pop(0))
        name = canonicalize_name(need.name)
        if need.marker is None or need.marker.evaluate(IN_A_BROWSER):
            ask += [] if name in found else importlib.metadata.requires(name) or []
            found.add(name)
    return found


def test_all_that_the_wheel_needs_runs_in_a_browser(unpacked):
    (info,) = unpacked.glob("*.dist-info")
    needs = needs_in_a_browser(importlib.metadata.PathDistribution(info).metadata)
    assert "numpy" in needs
    assert "jupyterlab" not in needs
    neither = needs - PYODIDE.keys() - PURE.keys()
    assert neither == set(), "neither pure Python nor in Pyodide"


def test_our_own_bounds_admit_what_pyodide_holds(unpacked):
    (info,) = unpacked.glob("*.dist-info")
    lines = importlib.metadata.PathDistribution(info).metadata.get_all("Requires-Dist")
    needs = {canonicalize_name(need.name): need for need in map(Requirement, lines)}
    held = {name: need for name, need in needs.items() if name in PYODIDE}
    assert held
    assert [n for n, need in held.items() if PYODIDE[n] not in need.specifier] == []


def test_what_is_called_pure_python_is_so():
    """By its own wheel, where this machine has it; one is built both ways, and says so."""
    for name in PURE.keys() - PURE_BESIDE_COMPILED:
        tags = importlib.metadata.distribution(name).read_text("WHEEL")
        assert re.search(r"^Tag: py\d-none-any$", tags, re.MULTILINE), name


@pytest.fixture(scope="module")
def source(tmp_path_factory) -> Path:
    """The source release, built from this checkout."""
    folder = tmp_path_factory.mktemp("sdist")
    build("sdist", ROOT, folder)
    (built,) = folder.glob("*.tar.gz")
    return built


def test_the_source_release_makes_the_same_wheel(source, wheel, tmp_path):
    with tarfile.open(source) as archive:
        archive.extractall(tmp_path, filter="data")
    (top,) = [path for path in tmp_path.iterdir() if path.is_dir()]
    assert {p.name for p in top.iterdir()} >= {"tests", "lessons", "data", "DEVELOPERS.md"}
    build("wheel", top, tmp_path)
    (again,) = tmp_path.glob("*.whl")
    assert contents(again) == contents(wheel)


def contents(wheel: Path) -> dict[str, int]:
    with zipfile.ZipFile(wheel) as archive:
        return {part.filename: part.CRC for part in archive.infolist()}


@pytest.fixture(scope="module")
def elsewhere(wheel, tmp_path_factory) -> Path:
    """An environment of its own, all fetched anew, as for a reader who has nothing but Python."""
    folder = tmp_path_factory.mktemp("elsewhere")
    subprocess.run([sys.executable, "-m", "venv", folder], check=True)
    python = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    subprocess.run([python, *INSTALL, str(wheel)], check=True)
    return python


@pytest.mark.sweep
@pytest.mark.parametrize("kind", ["wheel", "source"])
def test_a_release_installs_and_opens_its_lessons_without_the_checkout(
    kind, wheel, source, elsewhere, tmp_path
):
    python, release = elsewhere, (wheel if kind == "wheel" else source)
    again = [*INSTALL, "--no-deps", "--force-reinstall", str(release)]
    subprocess.run([python, *again], check=True)
    alone = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    told = subprocess.check_output(
        [python, "-m", "aqualib", "--help"], text=True, cwd=tmp_path, env=alone
    )
    assert "Open the lessons" in told
    home = tmp_path / "home"
    home.mkdir()
    with served(home=home, python=python, package=None) as command:
        with urllib.request.urlopen(command.address, timeout=60) as page:
            assert b"jupyter-config-data" in page.read()
        count = sum(
            re.fullmatch(r"aqualib/lessons/[^/]+\.ipynb", n) is not None for n in contents(wheel)
        )
        assert command.said.startswith(f"{count} lessons ({count} new) in {home}")
        asked = f"{command.root}/api/contents/00-start-here.ipynb?token={command.token}"
        with urllib.request.urlopen(asked, timeout=60) as found:
            assert b"Which path is mine" in found.read()
    # A kernel of that environment runs the first lesson to its end.
    nbconvert = f"{python} -m nbconvert --execute --to notebook --output ran.ipynb"
    ran = subprocess.run(
        [*nbconvert.split(), home / "aquarium-lessons" / "00-start-here.ipynb"],
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
        env=alone,
    )
    assert ran.returncode == 0, ran.stderr[-2000:]


def test_the_wheel_computes_a_check_value_on_its_own(unpacked, tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", ONE_CHECK_VALUE],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(unpacked)},
    )
    package, data, agrees = done.stdout.split()
    assert Path(package) == unpacked / "aqualib"
    assert Path(data) == unpacked / "aqualib" / "data" / "check_values.csv"
    assert agrees == "True"


def test_data_of_another_package_beside_ours_is_not_ours(unpacked, tmp_path):
    beside = tmp_path / "site-packages"
    shutil.copytree(unpacked / "aqualib", beside / "aqualib")
    shutil.copytree(ROOT / "data", beside / "data")
    (beside / "pyproject.toml").write_text('[project]\nname = "another"\n')
    program = "from aqualib.files import data_file; print(data_file('check_values.csv').parent)"
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(beside)},
    )
    assert Path(done.stdout.strip()) == beside / "aqualib" / "data"


def test_this_is_a_checkout():
    assert is_checkout(ROOT)


@pytest.mark.parametrize(
    "text",
    [None, "", "name = 'aqualib'", "[project]\nname = 'another'", "project = 1", "[project]", "["],
)
def test_a_folder_that_is_no_checkout(tmp_path, text):
    if text is not None:
        (tmp_path / "pyproject.toml").write_text(text)
    assert not is_checkout(tmp_path)


@pytest.mark.parametrize(
    ("data", "place"),
    [
        (b"a,b\n1,2\n3\n", "line 3"),
        (b"a,b\n1,2,3\n", "line 2"),
        (b"a,c\n1,2\n", "headings"),
        (b"", "headings"),
        (b"a,b\n1,\xb5m\n", "UTF-8"),
        pytest.param(b'a,b\n1,"' + b"x" * 200_000, "line 2", id="long"),
    ],
)
def test_a_table_that_is_not_whole_is_refused_in_words(tmp_path, data, place):
    table = tmp_path / "table.csv"
    table.write_bytes(data)
    with pytest.raises(ValidityError, match=rf"data/table\.csv.*{place}"):
        rows_of(table, ("a", "b"))
