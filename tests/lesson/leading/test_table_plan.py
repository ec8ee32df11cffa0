"""The plan of a table: its own tank where one was told, the example else; nothing typed runs."""

import base64
import re
from dataclasses import replace

from aqualib.lesson.leading import table_plan
from aqualib.tank.plan import example_system, save_system

HOSTILE = "<script>alert(1)</script>\"'&"


def test_without_a_tank_of_ones_own_it_is_the_example_on_one_day_for_all(tmp_path):
    plan = table_plan(tmp_path)
    assert plan.plan.system.name == example_system().name
    assert repr(plan).splitlines()[0] == example_system().name
    assert "2030-03-02" in repr(plan)


def test_a_tank_told_in_the_lessons_or_beside_the_workshop_is_taken(tmp_path):
    here = tmp_path / "leading"
    for place, name in ((tmp_path, "told in lesson 00"), (here, "told at this table")):
        (place / "mine").mkdir(parents=True)
        save_system(replace(example_system(), name=name), place / "mine" / "tank.json")
        assert table_plan(here).plan.system.name == name


def test_the_page_it_saves_is_the_plans_and_shows_what_was_typed_as_text(tmp_path):
    (tmp_path / "mine").mkdir()
    save_system(replace(example_system(), name=HOSTILE), tmp_path / "mine" / "tank.json")
    shown = table_plan(tmp_path)._repr_html_()
    packed = re.search(r'download="filter-plan\.html" href="data:text/html;base64,([^"]+)"', shown)
    page = base64.b64decode(packed[1]).decode()
    assert page.startswith("<!DOCTYPE html>")
    for text in (shown, page):
        assert "<script" not in text
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text
