"""The browser edition: what goes into its pages, what is brought along, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from aqualib.lesson.serving.browser import site, wheels
from aqualib.lesson.serving.browser.pages import FETCH, for_the_browser, front_page
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.validity import ValidityError

LESSONS = shipped_lessons()


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_for_the_browser_differs_in_kernel_and_first_cell_only(name):
    shipped = LESSONS[name].read_text(encoding="utf-8")
    before, after = json.loads(shipped), json.loads(for_the_browser(shipped))
    first = after["cells"].pop(0)
    assert first["source"] == FETCH
    assert "%pip install -q aqualib" in first["source"].splitlines()
    assert after["metadata"].pop("kernelspec")["name"] == "python"
    del before["metadata"]["kernelspec"]
    assert after == before


def test_the_front_page_leads_to_each_lesson_by_its_question():
    page = front_page(LESSONS)
    for name, path in LESSONS.items():
        assert f'href="lab/index.html?path={name}"' in page, path
    assert "Where does the food go, and when is it dangerous?" in page
    # JupyterLite's own pages read this of the front page, and stay empty without it.
    assert 'id="jupyter-config-data"' in page


def test_a_title_cannot_put_markup_into_the_front_page(tmp_path):
    bad = tmp_path / "01-x.ipynb"
    cells = [{"cell_type": "markdown", "source": ["# <script>alert(1)</script>\n", "text"]}]
    bad.write_text(json.dumps({"cells": cells}))
    assert "<script>alert" not in front_page({bad.name: bad})


def test_everything_a_page_needs_is_in_pyodide_or_brought_along():
    brought = wheels.brought_along()
    there = {*brought, *wheels.IN_PYODIDE, *wheels.BY_THE_KERNEL}
    for package in ("aqualib", *brought):
        assert set(wheels.needed_by(package)) <= there
    # Named, so that a needless one does not come in unseen.
    assert set(brought) == {
        *("anywidget", "ipywidgets", "jupyterlab-widgets", "comm", "psygnal"),
        *("fluids", "autograd", "pyco2sys", "pint", "flexcache", "flexparser"),
    }


def test_jupyterlab_is_not_needed_in_a_page():
    assert "jupyterlab" not in wheels.needed_by("aqualib")


def test_pyodide_has_the_versions_that_are_asked_for():
    asked = [Requirement(text) for text in wheels.own_requirements()]
    there = {one.name: one for one in asked if canonicalize_name(one.name) in wheels.IN_PYODIDE}
    assert {"numpy", "scipy", "pandas", "matplotlib"} <= set(there)
    for name, one in there.items():
        assert one.specifier.contains(wheels.IN_PYODIDE[canonicalize_name(name)]), name


def test_a_folder_with_something_in_it_is_refused_and_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(ValidityError, match="new or empty"):
        site.build(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_what_is_not_installed_is_said_before_anything_is_made(tmp_path, monkeypatch):
    monkeypatch.setattr(site.sys, "prefix", str(tmp_path / "no-such-environment"))
    with pytest.raises(RuntimeError, match=r"not installed here: .*anywidget.*\[browser\]"):
        site.build(tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_site_that_fails_on_the_way_leaves_nothing_behind(tmp_path, monkeypatch):
    monkeypatch.setattr(site, "page_sides", list)
    monkeypatch.setattr(site, "prepare", lambda work, wheels: (work / "half").write_text("x"))

    def fail(work: Path, extensions, pyodide):
        message = "no"
        raise RuntimeError(message)

    monkeypatch.setattr(site, "run_jupyterlite", fail)
    with pytest.raises(RuntimeError, match="no"):
        site.build(tmp_path / "out")
    assert list(tmp_path.iterdir()) == []
