"""A learner's copies are kept up to date, and nothing that a learner wrote is ever lost."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from inventory import PACKAGE

from aqualib.lesson.serving import copies
from aqualib.lesson.serving.copies import bring, fresh_copy
from aqualib.lesson.serving.shipped import FIRST, lesson_meant, shipped_lessons
from aqualib.validity import ValidityError

NAMES = ["00-start-here.ipynb", "01-water.ipynb", "02-cycle.ipynb"]


def notebook(*sources, outputs=(), **metadata):
    cells = [
        {
            "cell_type": "code",
            "source": source,
            "outputs": list(outputs),
            "metadata": {},
            "execution_count": None,
        }
        for source in sources
    ]
    return json.dumps({"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5})


class House:
    """Lessons as shipped, and a learner's folder."""

    def __init__(self, top):
        self.originals, self.mine = top / "shipped", top / "mine"
        self.originals.mkdir()
        for name in NAMES:
            self.ship(name, f"the words of {name}")

    def ship(self, name, *words):
        (self.originals / name).write_text(notebook(*words), encoding="utf-8")

    def bring(self):
        return bring({name: self.originals / name for name in NAMES}, self.mine)

    def shipped(self, name):
        return (self.originals / name).read_bytes()

    def copy(self, name):
        return self.mine / name

    def names(self):
        return sorted(path.name for path in self.mine.glob("*.ipynb"))

    def earlier(self):
        return [path.read_bytes() for path in sorted((self.mine / ".aqualib/earlier").glob("*"))]

    def run(self, name):
        """What JupyterLab does to a page that is only read and run: outputs, and a version."""
        words = [cell["source"] for cell in json.loads(self.copy(name).read_text())["cells"]]
        ran = notebook(*words, outputs=[{"output_type": "stream", "text": "2"}], python="3.13")
        self.copy(name).write_text(ran, encoding="utf-8")
        return ran.encode()


@pytest.fixture
def house(tmp_path):
    house = House(tmp_path)
    house.bring()
    return house


def test_the_first_time_every_lesson_is_copied(tmp_path):
    house = House(tmp_path)
    brought = house.bring()
    assert brought.new == NAMES
    assert brought.said() == f"3 lessons (3 new) in {house.mine}."
    for name in NAMES:
        assert house.copy(name).read_bytes() == house.shipped(name)


def test_a_second_start_touches_nothing(house):
    before = {p: (p.stat().st_mtime_ns, p.stat().st_ino) for p in house.mine.rglob("*")}
    assert house.bring().said() == f"3 lessons in {house.mine}."
    assert {p: (p.stat().st_mtime_ns, p.stat().st_ino) for p in house.mine.rglob("*")} == before


def test_a_copy_that_is_gone_comes_again(house):
    house.copy(NAMES[1]).unlink()
    assert house.bring().new == [NAMES[1]]
    assert house.names() == NAMES


@pytest.mark.parametrize("was_run", [False, True])
def test_a_newer_lesson_takes_the_place_of_an_untouched_copy(house, was_run):
    before = house.run(NAMES[1]) if was_run else house.shipped(NAMES[1])
    house.ship(NAMES[1], "newer words")
    brought = house.bring()
    assert (brought.new, brought.updated, brought.beside) == ([], [NAMES[1]], [])
    assert "1 brought up to date" in brought.said()
    assert house.copy(NAMES[1]).read_bytes() == house.shipped(NAMES[1])
    assert house.earlier() == [before], "and even so the old one is kept"
    assert house.bring().updated == []


def test_a_changed_copy_stays_and_the_newer_lesson_lies_beside_it(house):
    house.copy(NAMES[1]).write_text(notebook("my own words"), encoding="utf-8")
    assert house.bring().beside == [], "nothing is newer"
    house.ship(NAMES[1], "newer words")
    brought = house.bring()
    assert brought.beside == ["01-water (new).ipynb"]
    assert "01-water (new).ipynb" in brought.said()
    assert house.copy(NAMES[1]).read_text() == notebook("my own words")
    assert house.copy("01-water (new).ipynb").read_bytes() == house.shipped(NAMES[1])
    assert house.bring().beside == [], "it is offered once"
    house.copy("01-water (new).ipynb").unlink()
    assert house.bring().beside == [], "and whoever puts it away is not asked again"
    assert house.names() == NAMES


def test_a_second_newer_lesson_renews_the_one_beside_unless_that_was_changed_too(house):
    house.copy(NAMES[1]).write_text(notebook("my own words"), encoding="utf-8")
    for words in ("newer", "newer still"):
        house.ship(NAMES[1], words)
        house.bring()
    assert house.names() == sorted([*NAMES, "01-water (new).ipynb"])
    assert house.copy("01-water (new).ipynb").read_bytes() == house.shipped(NAMES[1])
    house.copy("01-water (new).ipynb").write_text(notebook("mine as well"), encoding="utf-8")
    house.ship(NAMES[1], "newest")
    assert house.bring().beside == ["01-water (new 2).ipynb"]
    assert house.copy("01-water (new).ipynb").read_text() == notebook("mine as well")
    assert house.copy("01-water (new 2).ipynb").read_bytes() == house.shipped(NAMES[1])


@pytest.mark.parametrize("found", ["no notebook", "", '{"cells": 3}', "[]", notebook("own")])
def test_a_file_of_the_learners_with_a_lessons_name_stays(tmp_path, found):
    house = House(tmp_path)
    house.mine.mkdir()
    house.copy(NAMES[1]).write_text(found)
    brought = house.bring()
    assert brought.beside == ["01-water (new).ipynb"]
    assert house.copy(NAMES[1]).read_text() == found


def test_neither_a_folder_nor_a_dead_link_is_written_over(tmp_path):
    house = House(tmp_path)
    house.copy(NAMES[0]).mkdir(parents=True)
    house.copy(NAMES[1]).symlink_to(tmp_path / "nowhere")
    assert len(house.bring().beside) == 2
    assert house.copy(NAMES[0]).is_dir()
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("broken", ["", "{", "[]", '{"a": 1}', '{"a": {"odd": 1}}', None])
def test_a_record_that_cannot_be_read_costs_no_work(house, broken):
    record = house.mine / ".aqualib" / "copied.json"
    record.unlink() if broken is None else record.write_text(broken)
    house.copy(NAMES[2]).write_text(notebook("my own words"), encoding="utf-8")
    house.ship(NAMES[2], "newer words")
    house.run(NAMES[1])
    assert house.bring().beside == ["02-cycle (new).ipynb"]
    assert house.copy(NAMES[2]).read_text() == notebook("my own words")
    house.ship(NAMES[1], "newer words")
    assert house.bring().updated == [NAMES[1]], "what has the words of the lesson is known again"


def test_a_page_that_saves_itself_at_the_last_moment_stays(house, monkeypatch):
    really_rename = Path.rename

    def save_before(self, to):
        self.write_text(notebook("typed a moment ago"), encoding="utf-8")
        return really_rename(self, to)

    house.ship(NAMES[1], "newer words")
    with monkeypatch.context() as patch:
        patch.setattr(Path, "rename", save_before)
        assert house.bring().updated == []
    assert house.copy(NAMES[1]).read_text() == notebook("typed a moment ago")
    assert house.bring().beside == ["01-water (new).ipynb"]


def test_another_start_that_is_quicker_costs_nothing(tmp_path, monkeypatch):
    house = House(tmp_path)
    really_there = os.path.lexists

    def copied_meanwhile(path):
        if found := really_there(path):
            return found
        Path(path).write_text(notebook("of the other start"), encoding="utf-8")
        return False

    monkeypatch.setattr(os.path, "lexists", copied_meanwhile)
    assert house.bring().new == []
    assert house.copy(NAMES[0]).read_text() == notebook("of the other start")


def test_a_fresh_copy_has_a_name_of_its_own(house):
    house.copy(NAMES[1]).write_text(notebook("my own words"), encoding="utf-8")
    original = house.originals / NAMES[1]
    assert fresh_copy(original, house.mine) == "01-water (fresh).ipynb"
    house.copy("01-water (fresh).ipynb").write_text(notebook("mine as well"), encoding="utf-8")
    assert fresh_copy(original, house.mine) == "01-water (fresh 2).ipynb"
    assert house.copy("01-water (fresh 2).ipynb").read_bytes() == house.shipped(NAMES[1])
    assert house.copy("01-water (fresh).ipynb").read_text() == notebook("mine as well")
    assert house.copy(NAMES[1]).read_text() == notebook("my own words")


def test_a_page_in_a_folder_of_its_own_is_brought_renewed_and_put_beside(tmp_path):
    original, mine = tmp_path / "shipped.ipynb", tmp_path / "mine"
    name = "leading/workshop.ipynb"
    original.write_text(notebook("first"), encoding="utf-8")
    assert bring({name: original}, mine).new == [name]
    original.write_text(notebook("second"), encoding="utf-8")
    assert bring({name: original}, mine).updated == [name]
    (mine / name).write_text(notebook("my own words"), encoding="utf-8")
    original.write_text(notebook("third"), encoding="utf-8")
    assert bring({name: original}, mine).beside == ["leading/workshop (new).ipynb"]
    assert (mine / name).read_text() == notebook("my own words")
    assert (mine / "leading/workshop (new).ipynb").read_text() == notebook("third")
    (kept,) = (mine / "leading" / copies.HIDDEN / "earlier").iterdir()
    assert kept.read_text() == notebook("first")


def test_a_full_disk_is_said_in_words(house, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    house.copy(NAMES[0]).unlink()
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ValidityError, match="the disk is full"):
        house.bring()


def test_the_lessons_that_ship_are_those_of_the_checkout():
    lessons = shipped_lessons()
    assert next(iter(lessons)) == FIRST
    assert list(lessons) == sorted(p.name for p in (PACKAGE.parent / "lessons").glob("*.ipynb"))


@pytest.mark.parametrize(
    "asked", ["02", "2", "02-cycle", "02-cycle.ipynb", "lessons/02-cycle.ipynb"]
)
def test_a_lesson_is_meant_by_number_or_name(asked):
    assert lesson_meant(asked, NAMES) == NAMES[2]


@pytest.mark.parametrize("asked", ["7", "", "-1", "two", "²", "cycle"])
def test_a_lesson_that_is_not_there_is_refused_with_those_that_are(asked):
    with pytest.raises(ValidityError, match="one of 00, 01, 02"):
        lesson_meant(asked, NAMES)


# Ends itself from outside at every n-th line of the copying, in a house where one lesson is new,
# one is to be renewed, and one was changed by the learner.
KILLED = """
import json, os, shutil, signal, sys
from pathlib import Path
sys.path[:0] = sys.argv[1].split(os.pathsep)
from test_copies import House, NAMES, notebook
from aqualib.lesson.serving import copies
from aqualib.lesson.handout import saving

top, stride = Path(sys.argv[2]), int(sys.argv[3])
FILES = {copies.__file__, saving.__file__}
MINE = notebook("my own words")

def made(folder):
    folder.mkdir()
    house = House(folder)
    house.bring()
    house.copy(NAMES[0]).unlink()
    house.copy(NAMES[2]).write_text(MINE, encoding="utf-8")
    for name in NAMES[1:]:
        house.ship(name, "newer words of " + name)
    return house

def kill_at(line):
    seen = 0
    def trace(frame, event, _):
        nonlocal seen
        if frame.f_code.co_filename not in FILES:
            return None
        seen += event == "line"
        if seen == line:
            os.kill(os.getpid(), signal.SIGKILL)
        return trace
    sys.settrace(trace)

def known(house):
    texts = {house.shipped(name) for name in NAMES} | {MINE.encode(), OLD}
    for file in [*house.mine.glob("*.ipynb"), *house.mine.glob(".aqualib/earlier/*")]:
        assert file.read_bytes() in texts, file

OLD = notebook("the words of " + NAMES[1]).encode()
killed, half_way = 0, 0
while True:
    house = made(top / str(killed))
    child = os.fork()
    if not child:
        kill_at(1 + killed * stride)
        house.bring()
        os._exit(0)
    if os.waitpid(child, 0)[1] == 0:
        break
    killed += 1
    known(house)
    assert house.copy(NAMES[2]).read_text() == MINE
    there = house.copy(NAMES[1]).read_bytes() if house.copy(NAMES[1]).exists() else b""
    assert OLD in {there, *house.earlier()}, "the old lesson is somewhere, whole"
    half_way += there != OLD
    house.bring()
    known(house)
    assert house.names() == sorted([*NAMES, "02-cycle (new).ipynb"])
    assert house.copy(NAMES[2]).read_text() == MINE
    for name, copy in [(NAMES[0],) * 2, (NAMES[1],) * 2, (NAMES[2], "02-cycle (new).ipynb")]:
        assert house.copy(copy).read_bytes() == house.shipped(name), copy
    again = house.bring()
    assert not (again.new or again.updated or again.beside)
    shutil.rmtree(top / str(killed - 1))
print(json.dumps({"killed": killed, "half_way": half_way}))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the system cannot fork")
@pytest.mark.parametrize("stride", [23, pytest.param(1, marks=pytest.mark.sweep)])
def test_a_start_that_is_killed_between_two_copies_loses_nothing(tmp_path, stride):
    paths = os.pathsep.join([str(Path(__file__).parent), str(PACKAGE.parent / "tests")])
    done = subprocess.run(
        [sys.executable, "-c", KILLED, paths, str(tmp_path), str(stride)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent)},
    )
    assert done.returncode == 0, done.stderr[-2000:]
    told = json.loads(done.stdout)
    assert told["killed"] > 200 // stride
    assert 0 < told["half_way"] < told["killed"], "some were killed before the change, some after"


def test_our_own_files_are_written_whole(tmp_path, monkeypatch):
    path = tmp_path / "copied.json"
    copies.replace_file(path, "old")

    def fails(*_):
        raise OSError

    monkeypatch.setattr(Path, "replace", fails)
    with pytest.raises(OSError):  # noqa: PT011
        copies.replace_file(path, "new")
    assert path.read_text() == "old"
