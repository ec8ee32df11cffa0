"""The wheel holds the data, the type marker and the browser parts, and works on its own."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from inventory import PACKAGE, ROOT

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
