"""The browser edition built with JupyterLite, and opened in Chromium with no network.

It needs the extra `browser`, and the registry for the pure wheels. Python itself does not run
here: its compiled packages come from a place that no test reaches. See
`tests/benchmarks/kernel_in_a_page.py` for the part of it that can be run.
"""

from __future__ import annotations

import json
import zipfile

import pytest

pytest.importorskip("jupyterlite_core", reason="needs the extra [browser]")

import harness
from plain_site import fenced, served

from aqualib.lesson.serving.browser.site import EXTENSIONS, PANEL_SIDE, build
from aqualib.lesson.serving.browser.wheels import brought_along
from aqualib.lesson.serving.shipped import shipped_lessons

pytestmark = [pytest.mark.sweep]


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    out = tmp_path_factory.mktemp("browser") / "site"
    build(out)
    return out


@pytest.fixture(scope="module")
def config(site):
    return json.loads((site / "jupyter-lite.json").read_text())["jupyter-config-data"]


def test_every_lesson_is_there_and_listed(site):
    listed = json.loads((site / "api" / "contents" / "all.json").read_text())["content"]
    assert {entry["name"] for entry in listed} == set(shipped_lessons())
    assert {path.name for path in (site / "files").iterdir()} == set(shipped_lessons())


def test_the_package_and_all_it_needs_lie_beside_the_lessons(site):
    index = json.loads((site / "pypi" / "all.json").read_text())
    # The index has its own way with names; a dash is a dash in all of them here.
    assert {name.replace("_", "-").lower() for name in index} == {"aqualib", *brought_along()}
    (own,) = (site / "pypi").glob("aqualib-*.whl")
    with zipfile.ZipFile(own) as wheel:
        assert {"aqualib/data/check_values.csv", "aqualib/lesson/panel.js"} <= set(wheel.namelist())


def test_the_page_sides_of_kernel_widgets_and_panels_are_there_and_no_others(config):
    found = {extension["name"] for extension in config["federated_extensions"]}
    assert found == {*EXTENSIONS, *PANEL_SIDE}


def test_readers_ask_no_registry(config):
    (settings,) = config["litePluginSettings"].values()
    assert settings["disablePyPIFallback"] is True
    assert all(address.startswith("./") for address in settings["pipliteUrls"])


def test_a_reader_opens_a_lesson_from_the_list(site):
    errors = []
    with served(site) as address, harness.chromium() as browser:
        context = browser.new_context(viewport=harness.LAPTOP)
        elsewhere = fenced(context, address)
        page = context.new_page()
        page.on("pageerror", lambda error: errors.append(str(error)))
        page.on("console", lambda said: errors.append(said.text) if said.type == "error" else None)
        page.goto(address)
        assert page.get_by_role("main").get_by_role("link").count() == len(shipped_lessons())
        page.get_by_role("link", name="Where does the food go").click()
        first = page.locator(".jp-Notebook .jp-Cell").first
        first.filter(has_text="%pip install -q aqualib").wait_for(timeout=60_000)
        page.get_by_role("button", name="Python (Pyodide)", exact=True).wait_for()
        files = page.locator(".jp-DirListing-itemText")
        files.first.wait_for()
        assert set(files.all_inner_texts()) == set(shipped_lessons())
        # The stills of the shipped lesson stand in the page before any Python has come.
        page.locator(".jp-OutputArea-output img").first.wait_for(state="attached")
        context.close()
    # The kernel may already have asked for Python itself, which is not to be had here.
    assert [error for error in errors if "pyodide" not in error.lower()] == []
    assert [address for address in elsewhere if "/pyodide/" not in address] == []
