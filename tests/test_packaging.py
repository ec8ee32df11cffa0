"""The wheel holds the data, the type marker and the browser parts, and works on its own."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from inventory import PACKAGE, ROOT

from aqualib.files import is_checkout, rows_of
from aqualib.validity import ValidityError

DATA = ("references.json", "check_values.csv", "parameters.csv")
# What a browser part or a reader of types needs beside the modules.
BESIDE_MODULES = {".js", ".css", ".typed"}

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


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The wheel, built from this checkout with what is installed, nothing fetched."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    assert done.returncode == 0, done.stderr
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
    strange = [p for p in unpacked.rglob("*") if p.suffix in {".pyc", ".ipynb"}]
    assert strange == []


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
