"""A new file is written whole, and one that is there is never touched."""

import json
import os
import subprocess
import sys
from contextlib import suppress
from errno import EFBIG, EIO, ENOSPC
from pathlib import Path
from threading import Barrier, BrokenBarrierError, Thread

import pytest
from inventory import PACKAGE

from aqualib.lesson.handout import saving
from aqualib.lesson.handout.saving import keep, save
from aqualib.validity import ValidityError


@pytest.mark.parametrize("kind", [str, Path, os.fsencode])
def test_text_is_kept_to_the_octet(tmp_path, kind):
    text = "BEGIN:VCALENDAR\r\nSUMMARY:Wäßer 🐟\r\n"
    path = save(text, kind(tmp_path / "care.ics"))
    assert path.read_bytes() == text.encode()
    assert [file.name for file in tmp_path.iterdir()] == ["care.ics"]


def test_a_file_that_is_there_is_never_touched(tmp_path):
    path = tmp_path / "care.ics"
    path.write_text("mine")
    with pytest.raises(ValidityError, match="is there already"):
        save("new", path)
    assert path.read_text() == "mine"
    assert list(tmp_path.iterdir()) == [path]


def test_neither_a_folder_nor_a_dead_link_is_written_over(tmp_path):
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    for name in ("folder", "link"):
        with pytest.raises(ValidityError, match="is there already"):
            save("new", tmp_path / name)
    assert not (tmp_path / "nowhere").exists()


def no_second_names(*_):
    raise PermissionError


def no_such_call(*_):
    raise NotImplementedError


@pytest.mark.parametrize("answer", [no_second_names, no_such_call])
def test_a_disk_that_knows_no_second_names_works_too(tmp_path, monkeypatch, answer):
    monkeypatch.setattr(Path, "hardlink_to", answer)
    path = save("text", tmp_path / "care.html")
    assert path.read_text() == "text"
    with pytest.raises(ValidityError, match="is there already"):
        save("other", path)
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(ValidityError, match="is there already"):
        save("other", tmp_path / "link")
    assert path.read_text() == "text"
    assert {file.name for file in tmp_path.iterdir()} == {"care.html", "link"}


def test_two_savers_on_such_a_disk_wait_for_each_other(tmp_path, monkeypatch):
    """Else both could find the name free, and the later one would rename over the earlier."""
    monkeypatch.setattr(Path, "hardlink_to", no_second_names)
    really_there, together = os.path.lexists, Barrier(2)

    def slow_look(path):
        found = really_there(path)
        with suppress(BrokenBarrierError):
            together.wait(0.2)
        return found

    monkeypatch.setattr(os.path, "lexists", slow_look)
    said = []

    def try_it(text):
        try:
            said.append(save(text, tmp_path / "care.html").read_text())
        except ValidityError as refused:
            said.append(refused.why)

    threads = [Thread(target=try_it, args=(text,)) for text in ("one", "two")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    kept = (tmp_path / "care.html").read_text()
    assert sorted(said) == sorted([kept, "is there already, and nothing was written"])


def test_a_missing_folder_is_named(tmp_path):
    with pytest.raises(ValidityError, match="folder"):
        save("text", tmp_path / "nowhere" / "care.ics")


@pytest.mark.parametrize("text", ["", None, b"octets", 7, "half \ud800"])
def test_bad_text_is_refused_and_nothing_is_left(tmp_path, text):
    with pytest.raises(ValidityError, match="text"):
        save(text, tmp_path / "care.ics")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("", "no name"),
        (".", "no name"),
        ("..", "no name"),
        ("/", "no name"),
        ("new/", "no name"),
        ("a\0b", "no file can be called so"),
        ("x" * 300, "File name too long"),
        ("half \ud800.ics", "no file can be called so"),
        ("a\0b/care.ics", "folder"),
        (None, "is no path"),
        (5, "is no path"),
        (["care.ics"], "is no path"),
        (object(), "is no path"),
    ],
    ids=lambda name: ascii(name)[:20],
)
@pytest.mark.parametrize("links", [True, False])
def test_bad_names_are_refused_and_nothing_is_left(tmp_path, monkeypatch, name, why, links):
    monkeypatch.chdir(tmp_path)
    if not links:
        monkeypatch.setattr(Path, "hardlink_to", no_second_names)
    with pytest.raises(ValidityError, match=why) as refused:
        save("text", name)
    assert refused.value.parameter == "path"
    assert str(refused.value).isprintable()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("problem", "why"),
    [
        (OSError(ENOSPC, "No space left on device"), "the disk is full"),
        (OSError(EFBIG, "File too large"), "File too large"),
        (OSError(EIO, "Input/output error"), "Input/output error"),
    ],
)
@pytest.mark.parametrize("step", ["fsync", "rename"])
def test_a_disk_that_fails_leaves_nothing_and_the_file_is_named(
    tmp_path, monkeypatch, problem, why, step
):
    def fails(*_):
        raise problem

    monkeypatch.setattr(Path, "hardlink_to", no_second_names)
    monkeypatch.setattr(*((os, "fsync", fails) if step == "fsync" else (Path, "rename", fails)))
    with pytest.raises(ValidityError, match=rf"care\.ics' was not written: {why}"):
        save("text", tmp_path / "care.ics")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_may_not_be_written_to(tmp_path, monkeypatch):
    def refuses(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuses)
    with pytest.raises(ValidityError, match=r"care\.ics' was not written: Permission denied"):
        save("text", tmp_path / "care.ics")


def test_only_old_drafts_of_our_own_are_cleared_away(tmp_path):
    names = {
        "old": ".aqualib-0123456789abcdef.part",
        "young": ".aqualib-fedcba9876543210.part",
        "other": ".aqualib-mine.part",
        "foreign": ".0123456789abcdef.part",
    }
    for name in names.values():
        (tmp_path / name).write_text("half")
    (tmp_path / ".aqualib-0000000000000000.part").mkdir()
    for name in (*names.values(), ".aqualib-0000000000000000.part"):
        if name != names["young"]:
            os.utime(tmp_path / name, (0, 0))
    save("text", tmp_path / "care.ics")
    left = {file.name for file in tmp_path.iterdir()}
    assert left == {"care.ics", ".aqualib-0000000000000000.part", *names.values()} - {names["old"]}


# Ends itself from outside at the n-th line of the module, for each n until it comes to the end.
KILLED = """
import importlib.util, json, os, signal, sys
from pathlib import Path
spec = importlib.util.spec_from_file_location("saving", sys.argv[1])
saving = importlib.util.module_from_spec(spec)
spec.loader.exec_module(saving)
folder, links = Path(sys.argv[2]), sys.argv[3] == "True"
text = "whole " * 50_000

def no_second_names(*_):
    raise PermissionError

if not links:
    Path.hardlink_to = no_second_names

def kill_at(line):
    seen = 0

    def trace(frame, event, _):
        nonlocal seen
        if frame.f_code.co_filename != sys.argv[1]:
            return None
        seen += event == "line"
        if seen == line:
            os.kill(os.getpid(), signal.SIGKILL)
        return trace

    sys.settrace(trace)

killed = 0
while True:
    own = folder / str(killed)
    own.mkdir()
    child = os.fork()
    if not child:
        kill_at(killed + 1)
        saving.save(text, own / "care.ics")
        os._exit(0)
    if os.waitpid(child, 0)[1] == 0:
        break
    killed += 1
print(json.dumps({"killed": killed, "length": len(text)}))
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the system cannot fork")
@pytest.mark.parametrize("links", [True, False])
def test_a_process_that_is_killed_leaves_a_whole_file_or_none(tmp_path, links):
    done = subprocess.run(
        [sys.executable, "-c", KILLED, saving.__file__, str(tmp_path), str(links)],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(PACKAGE.parent)},
    )
    told = json.loads(done.stdout)
    assert told["killed"] > 30
    left = [sorted(file.name for file in own.iterdir()) for own in tmp_path.iterdir()]
    whole = list(tmp_path.glob("*/care.ics"))
    assert 1 < len(whole) < told["killed"], "some were killed before, some after the name was given"
    assert {file.stat().st_size for file in whole} == {told["length"]}
    drafts = [file for file in tmp_path.glob("*/*") if saving.DRAFT.fullmatch(file.name)]
    assert len(drafts) + len(whole) == sum(map(len, left)), "nothing else is there"
    assert drafts
    for draft in drafts:
        os.utime(draft, (0, 0))
        save("text", draft.with_name("next.ics"))
    assert not any(draft.exists() for draft in drafts)


def test_what_is_kept_says_where_it_lies(tmp_path, capsys):
    keep({"care.ics": "one", "care.html": "two"}, tmp_path)
    said = capsys.readouterr().out
    assert f"care.ics now lies in the folder {tmp_path.resolve()}" in said
    assert (tmp_path / "care.html").read_text() == "two"


def test_a_second_run_says_so_and_goes_on(tmp_path, capsys):
    (tmp_path / "care.ics").write_text("mine")
    (tmp_path / "same.ics").write_text("new")
    keep({"care.ics": "new", "same.ics": "new", "care.html": "two"}, tmp_path)
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "care.ics is there already: left as it was."
    assert "another folder" in said[1]
    assert said[2] == "same.ics is there already, just the same: left as it was."
    assert (tmp_path / "care.ics").read_text() == "mine"
    assert (tmp_path / "care.html").read_text() == "two"


def test_without_a_folder_nothing_is_kept(capsys):
    keep({"care.ics": "ä"}, None)
    assert "nothing was kept" in (said := capsys.readouterr().out)
    assert "care.ics (2 bytes)" in said


def test_a_folder_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(ValidityError, match="not there"):
        keep({"care.ics": "new"}, tmp_path / "nowhere")
