"""What a page is made of, and what the command says where Voilà is missing."""

import importlib.util
import json
import socket
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from aqualib.__main__ import main
from aqualib.lesson.serving import pages, server
from aqualib.lesson.serving.shipped import CODE_ONLY, FIRST, shipped_lessons


def test_a_page_bears_its_question_and_nothing_worked_out():
    for original in shipped_lessons().values():
        text = original.read_text(encoding="utf-8")
        page, lesson = json.loads(pages.as_page(text)), json.loads(text)
        assert page["metadata"]["title"] == lesson["cells"][0]["source"][0].strip("# \n")
        assert [c["source"] for c in page["cells"]] == [c["source"] for c in lesson["cells"]]
        assert not any(cell.get("outputs") for cell in page["cells"])


def test_a_lesson_without_a_heading_has_a_title_too():
    page = json.loads(pages.as_page('{"cells": [], "metadata": {}}'))
    assert page["metadata"]["title"] == "Lesson"


@pytest.fixture
def ran(monkeypatch):
    """What would be run, and the files that would be served."""
    seen = []
    found = importlib.util.find_spec("json")
    monkeypatch.setattr(importlib.util, "find_spec", lambda _: found)

    def run(command, address, log, environment, **more):
        served = sorted(path.name for path in Path(command[-1]).iterdir())
        seen.append((command, address, environment, served, more))

    monkeypatch.setattr(server, "run", run)
    return seen


def test_the_lessons_named_are_served_and_the_glossary_with_them(ran):
    assert main(["pages", "02", "4", "--no-browser"]) == 0
    ((command, address, environment, served, more),) = ran
    assert served == [FIRST, "02-the-nitrogen-cycle.ipynb", "04-flow-and-head.ipynb"]
    assert "/voila/render/02-the-nitrogen-cycle.ipynb?token=" in address
    key = address.partition("token=")[2]
    assert len(key) > 20
    assert environment["JUPYTER_TOKEN"] == key
    assert key not in " ".join(command)
    assert "--Voila.ip=127.0.0.1" in command
    assert more["browser"] is False
    assert not Path(command[-1]).exists(), "what was made for it is gone"


def test_all_lessons_unless_told_otherwise(ran):
    assert main(["pages"]) == 0
    assert ran[0][3] == list(shipped_lessons())
    assert f"/voila/render/{FIRST}?" in ran[0][1]


def test_the_workshop_is_served_from_its_own_folder_with_the_lessons_it_points_to(ran, monkeypatch):
    inside = []

    def run(command, address, *_, **__):
        ran.append((command, address))
        folder = Path(command[-1])
        inside.extend(sorted(str(path.relative_to(folder)) for path in folder.rglob("*.ipynb")))

    monkeypatch.setattr(server, "run", run)
    assert main(["pages", "workshop"]) == 0
    assert "/voila/render/leading/workshop.ipynb?token=" in ran[0][1]
    assert inside == [*shipped_lessons(), "leading/workshop.ipynb"]


def test_other_computers_and_no_key_only_when_told(ran, monkeypatch, capsys):
    monkeypatch.setattr(pages, "in_the_network", lambda: "192.168.7.5")
    assert main(["pages", "--address", "0.0.0.0", "--no-token"]) == 0
    command, address, environment, _, more = ran[0]
    assert "--Voila.ip=0.0.0.0" in command
    assert address.startswith("http://192.168.7.5:"), "what other tables can open"
    assert more["alive"].startswith("http://localhost:")
    assert "no network" not in capsys.readouterr().out
    assert "token" not in address
    assert environment["JUPYTER_TOKEN"] == ""


def test_without_a_network_the_address_is_said_to_be_this_computers_alone(ran, monkeypatch, capsys):
    class Alone(socket.socket):
        def connect(self, _):
            raise OSError

    monkeypatch.setattr(socket, "socket", Alone)
    assert pages.in_the_network() == ""
    monkeypatch.setattr(server, "free_port", lambda *_: 8123)
    assert main(["pages", "--address", "0.0.0.0"]) == 0
    assert ran[0][1].startswith("http://localhost:")
    assert "this computer alone" in capsys.readouterr().out


def test_on_paper_what_is_folded_stands_open():
    """Both roads: by style where a browser knows it, and by hand in the others."""
    there = pages.TEMPLATES / "voila/templates/aqualib"
    on_paper = (there / "lesson-page.css").read_text(encoding="utf-8").partition("@media print")[2]
    assert "details:not([open])::details-content" in on_paper
    script = (there / "lesson-page.js").read_text(encoding="utf-8")
    assert '"beforeprint"' in script
    assert '"afterprint"' in script


def test_idle_ones_are_ended_and_none_are_made_ahead():
    """Both together leave a reader waiting without end; see the module."""
    command = pages.voila_command(Path("lessons"), "127.0.0.1", 8000)
    assert f"--MappingKernelManager.cull_idle_timeout={pages.IDLE_END}" in command
    assert not any("preheat" in part or "pool" in part for part in command)


def test_where_voila_is_missing_the_command_that_brings_it_is_said(monkeypatch, capsys):
    monkeypatch.setattr(importlib.util, "find_spec", lambda _: None)
    assert main(["pages"]) == 1
    assert 'python -m pip install "aqualib[pages]"' in capsys.readouterr().err


def test_a_lesson_that_is_not_there_is_refused(ran, capsys):
    assert main(["pages", "77"]) == 1
    assert "is none of the lessons" in capsys.readouterr().err
    assert ran == []


def test_our_template_stands_where_it_is_looked_for():
    files = {path.name for path in (pages.TEMPLATES / "voila/templates/aqualib").iterdir()}
    assert files >= {"index.html.j2", "lesson-page.css", "lesson-page.js", "tree.html", "404.html"}
    assert CODE_ONLY in (pages.TEMPLATES / "voila/templates/aqualib/lesson-page.css").read_text(
        encoding="utf-8"
    )


def test_nothing_of_the_page_is_fetched_from_elsewhere():
    for file in (pages.TEMPLATES / "voila/templates/aqualib").iterdir():
        assert "//" not in file.read_text(encoding="utf-8").replace("// ", ""), file.name


def test_asking_for_pages_loads_no_pictures():
    program = "import sys, aqualib.lesson.serving.pages; print(*sys.modules)"
    loaded = subprocess.check_output([sys.executable, "-c", program], text=True).split()
    assert "aqualib.lesson.serving.pages" in loaded
    assert not {"matplotlib", "scipy", "pandas"} & set(loaded)


def test_refresh_keeps_the_tag_of_a_cell_and_nothing_else():
    from aqualib.lesson import refresh

    cells = [
        nbformat.v4.new_markdown_cell("a", metadata={"tags": ["other", CODE_ONLY], "odd": 1}),
        nbformat.v4.new_markdown_cell("b", metadata={"tags": ["other"]}),
    ]
    kept = refresh.normalise(nbformat.v4.new_notebook(cells=cells), "00-any.ipynb")
    assert [cell.metadata for cell in kept.cells] == [{"tags": [CODE_ONLY]}, {}]
