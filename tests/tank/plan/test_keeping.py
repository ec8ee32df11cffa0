"""A system's file on the disk: nothing that stood there is ever lost."""

import os
import sys

import pytest
from plan_systems import nano

from aqualib.tank.plan import System, Tank, example_system, load_system, save_system
from aqualib.tank.plan.written import as_json
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_saved_and_loaded(tmp_path):
    path = save_system(nano(), tmp_path / "tank.json")
    assert load_system(path) == nano()
    assert [p.name for p in tmp_path.iterdir()] == ["tank.json"]


def test_the_version_before_is_kept_and_saving_the_same_again_keeps_it(tmp_path):
    path = tmp_path / "tank.json"
    save_system(nano(), path)
    save_system(example_system(), path)
    save_system(example_system(), path)
    assert load_system(path) == example_system()
    assert load_system(tmp_path / "tank.earlier.json") == nano()


def test_what_is_no_system_is_moved_aside_each_time_under_another_name(tmp_path):
    path = tmp_path / "tank.json"
    for words in ("my notes", "more notes"):
        path.write_text(words)
        with pytest.raises(ValidityError, match="cannot be read"):
            load_system(path)
        save_system(nano(), path)
    aside = sorted(p.read_text() for p in tmp_path.glob("tank.unreadable *.json"))
    assert aside == ["more notes", "my notes"]


@pytest.mark.parametrize("path", ["tank.txt", "nowhere/tank.json", "", 7, None, "a\0b.json"])
def test_no_such_place(path, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for use in (load_system, lambda p: save_system(nano(), p)):
        with pytest.raises(ValidityError, match="path"):
            use(path)


@pytest.mark.parametrize("raw", [b"\xff\xfe\x00", b"", b"\xef\xbb\xbf{}", b"9" * 900_000])
def test_odd_bytes_are_refused_in_words(raw, tmp_path):
    path = tmp_path / "tank.json"
    path.write_bytes(raw)
    with pytest.raises(ValidityError):
        load_system(path)


def test_a_file_that_windows_wrote_is_read(tmp_path):
    path = tmp_path / "tank.json"
    path.write_bytes(b"\xef\xbb\xbf" + as_json(nano()).replace("\n", "\r\n").encode())
    assert load_system(path) == nano()


def test_ended_at_any_line_the_old_or_the_new_is_there_whole(tmp_path):
    """Forked at every line of a save: the file is a whole system, and the old one is not lost."""
    old, new = as_json(nano()), as_json(example_system())
    seen = set()
    stop = 0
    while True:
        stop += 1
        folder = tmp_path / str(stop)
        folder.mkdir()
        path = folder / "tank.json"
        path.write_text(old)
        pid = os.fork()
        if not pid:
            _end_at_line(stop, path)
        _, status = os.waitpid(pid, 0)
        now = path.read_text()
        assert now in (old, new)
        kept = folder / "tank.earlier.json"
        assert now == old or kept.read_text() == old
        seen.add((now == new, kept.exists()))
        if os.waitstatus_to_exitcode(status) == 0:
            break
        assert os.waitstatus_to_exitcode(status) == 9
    assert seen == {(False, False), (False, True), (True, True)}
    assert stop > 25


def _end_at_line(stop, path):
    """In a process of its own: save, and end without a word at a line."""
    count = 0

    def trace(frame, event, _):
        nonlocal count
        if not frame.f_code.co_filename.endswith(("keeping.py", "aqualib/files.py")):
            return None
        if event == "line":
            count += 1
            if count == stop:
                os._exit(9)
        return trace

    try:
        sys.settrace(trace)
        save_system(example_system(), path)
        os._exit(0)
    except BaseException:  # noqa: BLE001 - a failing child must not run the parent's tests
        os._exit(7)


def test_two_savers_at_once_leave_whole_files(tmp_path):
    path = tmp_path / "tank.json"
    children = []
    for who in "ab":
        pid = os.fork()
        if not pid:
            try:
                for n in range(30):
                    save_system(System(name=f"{who} {n}", tank=Tank(water=Q(20 + n, "L"))), path)
                os._exit(0)
            except BaseException:  # noqa: BLE001 - a child never runs the parent's tests
                os._exit(7)
        children.append(pid)
    ends = [os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) for pid in children]
    assert ends == [0, 0]
    assert {load_system(file).name[0] for file in tmp_path.glob("*.json")} <= {"a", "b"}
