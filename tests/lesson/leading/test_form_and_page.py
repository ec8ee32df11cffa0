"""The plan of a table: made by its form, kept nowhere, shown in one place; nothing typed runs."""

import base64
import re
from dataclasses import replace

import pytest

from aqualib.lesson.leading import table_plan
from aqualib.lesson.leading.form_and_page import MADE, MAKE
from aqualib.tank.plan import example_system, save_system

HOSTILE = "<script>alert(1)</script>\"'&"


@pytest.fixture
def shown(monkeypatch):
    """What a cell would show."""
    seen = []
    monkeypatch.setattr("aqualib.lesson.leading.form_and_page.display", seen.append)
    return seen


def test_without_a_tank_of_ones_own_it_is_the_example_on_one_day_for_all(tmp_path, shown):
    form = table_plan(tmp_path)
    assert shown == [form, form.page]
    assert repr(form.page).splitlines()[0] == example_system().name
    assert "2030-03-02" in repr(form.page)


def test_a_tank_told_in_the_lessons_or_beside_the_workshop_is_taken(tmp_path, shown):
    here = tmp_path / "leading"
    for place, name in ((tmp_path, "told in lesson 00"), (here, "told at this table")):
        (place / "mine").mkdir(parents=True)
        save_system(replace(example_system(), name=name), place / "mine" / "tank.json")
        assert table_plan(here).page.plan.system.name == name


def test_what_a_table_types_becomes_its_page_and_is_kept_nowhere(tmp_path, shown):
    form = table_plan(tmp_path)
    shown_at_first = form.page._repr_mimebundle_()
    view = form.page.view
    assert view.value == shown_at_first["text/html"]
    assert form.actions() == [MAKE]
    for field, given in (("name", HOSTILE), ("tank.water", "60 L"), ("stock.food", "1 g/day")):
        form.take(field, "answer", given)
    form.take("", MAKE, None)
    assert form.told == MADE
    assert form.page.plan.water.m_as("L") == pytest.approx(60)
    assert form.page.plan.given.m_as("g/day") == pytest.approx(1)
    assert form.page.view is view
    assert view.value == form.page._repr_html_() != shown_at_first["text/html"]
    assert form.save() == MADE
    assert list(tmp_path.iterdir()) == []
    packed = re.search(
        r'download="filter-plan\.html" style="[^"]+" href="data:text/html;base64,([^"]+)"',
        view.value,
    )
    page = base64.b64decode(packed[1]).decode()
    assert page.startswith("<!DOCTYPE html>")
    for text in (view.value, page):
        assert "<script" not in text
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text


def test_what_does_not_go_together_is_said_and_the_page_stays(tmp_path, shown):
    form = table_plan(tmp_path)
    before = form.page.plan
    form.answer("filter.tray 1.holds", "coarse pad")
    form.take("", MAKE, None)
    assert form.told.startswith("No plan yet.")
    assert "height" in form.told
    assert form.page.plan is before
