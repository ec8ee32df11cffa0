"""`python -m aqualib`: one command, one line on how to stop, and nothing touched but one folder."""

import json
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import psutil
import pytest
from inventory import ROOT
from served import served

from aqualib.__main__ import main
from aqualib.lesson.serving import calm, own_copies, server
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.validity import ValidityError


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    return tmp_path_factory.mktemp("home")


@pytest.fixture(scope="module")
def started(home):
    with served("--open", "4", home=home) as command:
        yield command


def ask(address):
    try:
        with urllib.request.urlopen(address, timeout=20) as answer:
            return answer.status, answer.geturl(), answer.read()
    except urllib.error.HTTPError as refused:
        return refused.code, address, b""


def test_it_says_where_the_copies_are_and_how_to_stop(started, home):
    count = len(shipped_lessons())
    folder = home / "aquarium-lessons"
    assert started.said == (
        f"{count} lessons ({count} new) in {folder}.\n"
        f"Open {started.address}\n"
        "To stop, press Ctrl + C here.\n"
    )
    for name, original in shipped_lessons().items():
        assert (folder / name).read_text() == original.read_text()


def test_the_address_opens_the_lesson_asked_for_alone(started):
    status, place, page = ask(started.address)
    assert status == 200
    assert "/doc/tree/04-" in place
    assert b"jupyter-config-data" in page


def test_only_this_computer_with_the_key_gets_in(started):
    assert "/login" in ask(f"{started.root}/doc/tree/00-start-here.ipynb")[1]
    assert ask(f"{started.root}/api/contents/00-start-here.ipynb")[0] == 403
    (jupyter,) = psutil.Process(started.process.pid).children()
    heard = [c.laddr.ip for c in jupyter.net_connections("tcp") if c.status == "LISTEN"]
    assert set(heard) == {"127.0.0.1"}
    assert started.token
    assert started.token not in " ".join(jupyter.cmdline()), "anyone may read command lines"


def test_jupyterlab_reads_our_defaults(started):
    for plugin, wanted in calm.OVERRIDES.items():
        address = f"{started.root}/lab/api/settings/{plugin}?token={started.token}"
        properties = json.loads(ask(address)[2])["schema"]["properties"]
        for name, value in wanted.items():
            # The mode of the window is kept among the settings without a schema of its own.
            assert properties.get(name, {"default": value})["default"] == value, name


def test_nothing_is_touched_but_the_learners_own_folder(started, home):
    assert [path.name for path in home.iterdir()] == ["aquarium-lessons"]
    (log,) = (home / "aquarium-lessons").glob(".aqualib/*.log")
    assert log.stat().st_mode & 0o077 == 0, "it holds what others need not read"


def test_a_kernel_imports_this_package(started, home):
    """The copies lie elsewhere, and what serves them may not even be installed."""
    (jupyter,) = psutil.Process(started.process.pid).children()
    assert jupyter.environ()["PYTHONPATH"].split(":")[0] == str(ROOT)
    assert jupyter.environ()["JUPYTER_CONFIG_DIR"].startswith(str(home / "aquarium-lessons"))


def test_a_port_that_is_taken_is_refused_in_words(started, home):
    port = started.root.rpartition(":")[2]
    done = subprocess.run(
        [sys.executable, "-m", "aqualib", "--port", port, "--folder", "elsewhere"],
        capture_output=True,
        text=True,
        cwd=home,
        check=False,
        env=psutil.Process(started.process.pid).environ(),
    )
    assert done.returncode == 1
    assert f"port = {port} cannot be had" in done.stderr
    assert "Traceback" not in done.stderr
    assert not (home / "elsewhere").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="has no polite end from outside")
@pytest.mark.parametrize("how", ["SIGINT", "SIGTERM"])
def test_it_ends_with_all_it_started(tmp_path, how):
    with served("--folder", tmp_path / "mine", home=tmp_path) as command:
        family = psutil.Process(command.process.pid).children(recursive=True)
        assert family
        assert command.end(how) == 0
        assert psutil.wait_procs(family, timeout=1)[1] == []
    assert command.said.endswith("Stopped.\n")


def test_a_fresh_copy_is_made_and_opened(tmp_path, monkeypatch, capsys):
    shown = []
    monkeypatch.setattr(server, "run", lambda *given, **_: shown.append(given[1]))
    for _ in range(2):
        assert main(["--folder", str(tmp_path / "mine"), "--fresh", "04"]) == 0
    assert "/doc/tree/04-flow-and-head%20%28fresh%29.ipynb?token=" in shown[0]
    assert "A fresh copy: 04-flow-and-head (fresh 2).ipynb" in capsys.readouterr().out
    assert shown[0].partition("token=")[2] != shown[1].partition("token=")[2]


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["--open", "77"], "is none of the lessons"),
        (["--fresh", "x"], "is none of the lessons"),
        (["--folder", "{file}"], "file"),
        (["--port", "99999999"], "cannot be had"),
        (["--port", "-1"], "cannot be had"),
    ],
)
def test_what_cannot_be_done_is_said_in_words(tmp_path, capsys, arguments, why):
    file = tmp_path / "file"
    file.write_text("mine")
    given = [part.format(file=file) for part in arguments]
    if "--folder" not in given:
        given += ["--folder", str(tmp_path / "mine")]
    assert main(given) == 1
    said = capsys.readouterr().err
    assert said.startswith("aqualib: ")
    assert why in said
    assert file.read_text() == "mine"
    assert not (tmp_path / "mine").exists()


@pytest.mark.parametrize("arguments", [["--help"], ["pages", "--help"]])
def test_help_names_the_options(capsys, arguments):
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert left.value.code == 0
    said = capsys.readouterr().out
    for option in ("--port", "--no-browser"):
        assert option in said


def test_lessons_go_into_documents_where_there_are_any(tmp_path, monkeypatch):
    import platformdirs

    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    monkeypatch.setattr(platformdirs, "user_documents_path", lambda: tmp_path / "Papers")
    assert own_copies.usual_folder() == tmp_path / "aquarium-lessons"
    (tmp_path / "Papers").mkdir()
    assert own_copies.usual_folder() == tmp_path / "Papers" / "aquarium-lessons"


def test_settings_are_renewed_and_the_learners_own_are_left(tmp_path):
    calm.write_overrides(tmp_path)
    file = tmp_path / ".aqualib" / "settings" / "overrides.json"
    file.write_text("{")
    theirs = tmp_path / ".aqualib" / "user" / "theme.jupyterlab-settings"
    theirs.parent.mkdir()
    theirs.write_text('{"theme": "dark"}')
    calm.write_overrides(tmp_path)
    assert json.loads(file.read_text()) == calm.OVERRIDES
    assert theirs.read_text() == '{"theme": "dark"}'


def test_the_port_asked_for_is_used_where_it_is_free():
    port = server.free_port()
    assert server.free_port(port) == port
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", port))
        taken.listen()
        with pytest.raises(ValidityError, match="cannot be had"):
            server.free_port(port)


def test_the_workshop_is_copied_for_whoever_opens_it(tmp_path, monkeypatch):
    opened = []
    monkeypatch.setattr(server, "run", lambda _command, address, *_, **__: opened.append(address))
    assert main(["--folder", str(tmp_path), "--open", "04"]) == 0
    assert not (tmp_path / "leading").exists()
    assert main(["--folder", str(tmp_path), "--open", "workshop"]) == 0
    assert "/doc/tree/leading/workshop.ipynb?token=" in opened[1]
    assert (tmp_path / "leading" / "workshop.ipynb").is_file()
    assert main(["--folder", str(tmp_path), "--fresh", "workshop"]) == 1
