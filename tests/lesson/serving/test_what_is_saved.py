"""What is saved: no live panel whose Python will be gone, every word and picture of the learner."""

import asyncio
import copy
import json
import logging
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import nbformat
import pytest
from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook, new_output
from traitlets.config import Config

from aqualib.lesson.asking import guess
from aqualib.lesson.panels.tank_weight import first_slider_panel
from aqualib.lesson.serving import calm
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.lesson.serving.what_is_saved import LIVE, STILL_HERE, without_live_views

PATH = "mine.ipynb"


@pytest.fixture
def manager(tmp_path):
    """The contents manager of JupyterLab, told what our servers tell it on their command line."""
    ((option, hook),) = calm.ON_SAVING.items()
    config = Config()
    config[option.split(".")[0]].pre_save_hook = hook
    return AsyncLargeFileManager(config=config, root_dir=str(tmp_path))


def finish(saving):
    """Wait for it in a thread of its own: tests before this one may have left a loop here."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, saving).result()


def save(manager, content):
    model = {"type": "notebook", "format": "json", "content": content}
    finish(manager.save(model, PATH))
    return nbformat.read(f"{manager.root_dir}/{PATH}", as_version=4)


def lesson():
    """A learner's notebook as the page sends it: a live panel, a live question, plain outputs."""
    panel, box = first_slider_panel(), guess("Water", "L")
    shown, how = panel._repr_mimebundle_()
    outputs = [
        new_output("execute_result", shown, metadata=how, execution_count=3),
        new_output("display_data", box._repr_mimebundle_()),
        new_output("display_data", {LIVE: {"model_id": "theirs"}}),
        new_output("stream", text="190 L\n"),
        new_output("display_data", {"text/html": "<b>4</b>", "text/plain": "4"}),
    ]
    panel.close()
    cells = [new_markdown_cell("My own note"), new_code_cell("mine = 3", outputs=outputs)]
    return new_notebook(cells=cells, metadata={"widgets": {"state": {}}, "mine": "kept"})


def test_a_saved_lesson_has_its_pictures_and_names_the_menu_entry(manager):
    page = json.loads(json.dumps(lesson()))
    sent = copy.deepcopy(page)
    kept = save(manager, page)
    assert LIVE not in json.dumps(kept)
    assert kept.metadata == {"mine": "kept"}
    outputs = kept.cells[1].outputs
    assert [sorted(output.get("data", {})) for output in outputs] == [
        ["image/png", "text/plain"], ["text/markdown", "text/plain"],
        ["text/plain"], ["text/markdown", "text/plain"],
        ["text/markdown", "text/plain"],
        [], ["text/html", "text/plain"],
    ]  # fmt: skip
    before = sent["cells"][1]["outputs"]
    for kind in ("image/png", "text/plain"):
        assert outputs[0].data[kind].strip() == before[0]["data"][kind].strip()
    assert outputs[0].metadata == before[0]["metadata"]
    assert outputs[2].data["text/plain"] == "Water (L): your guess"
    for note in (outputs[1], outputs[3], outputs[4]):
        assert note.data["text/markdown"] == STILL_HERE
    assert "Run All Cells" in STILL_HERE
    # Saved again as it was opened, nothing is added.
    assert save(manager, json.loads(json.dumps(kept))) == kept


def test_what_has_nothing_live_is_saved_as_it_is(manager):
    for path in shipped_lessons().values():
        text = path.read_text(encoding="utf-8")
        assert without_live_views(json.loads(text)) == json.loads(text), path.name
    assert not {"text/markdown"} & set(without_live_views(lesson())["cells"][0])


@pytest.mark.parametrize("broken", [{"cells": 3}, {"metadata": None}, {"cells": [{"outputs": 7}]}])
def test_a_hook_that_fails_lets_the_save_go_on(manager, broken, caplog):
    """An odd notebook must reach the disk as the learner has it."""
    whole = json.loads(json.dumps(lesson()))
    model = {"type": "notebook", "format": "json", "content": {**whole, **broken}}
    sent = copy.deepcopy(model)
    with caplog.at_level(logging.ERROR):
        manager.log = logging.getLogger()
        manager.run_pre_save_hooks(model=model, path=PATH)
    assert model == sent
    assert "leave_out_live failed" in caplog.text


def test_other_files_are_let_through(manager):
    text = {"type": "file", "format": "text", "content": "a log"}
    finish(manager.save(text, "log.csv"))
    assert Path(manager.root_dir, "log.csv").read_text(encoding="utf-8") == "a log"


def test_both_servers_of_ours_are_told(tmp_path):
    pytest.importorskip("resource", reason="a class needs Unix")
    from aqualib.lesson.serving.class_room.start_learner import server_command

    (option,) = calm.written(calm.ON_SAVING)
    assert option in calm.jupyterlab_command(tmp_path, PATH, 1)
    assert option in server_command(tmp_path, [])
