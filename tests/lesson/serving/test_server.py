"""A server is waited for, shown, and ended; where it does not start, its own words are passed on."""

import sys
from pathlib import Path
from urllib.parse import unquote, urlparse

import pytest

from aqualib.lesson.serving import server
from aqualib.lesson.serving.server import NotStartedError, free_port, run

SERVES = """
import http.server, sys
http.server.HTTPServer(("127.0.0.1", int(sys.argv[1])), http.server.SimpleHTTPRequestHandler).{do}()
"""


def command(do, port):
    return [sys.executable, "-c", SERVES.format(do=do), str(port)]


def test_it_is_shown_once_it_answers(tmp_path, monkeypatch, capsys):
    opened = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    port = free_port()
    address = f"http://127.0.0.1:{port}/?token=secret&more"
    # Answers twice: to us while we wait, and to the reader; then it ends by itself.
    run(command("handle_request", port), address, tmp_path / "log", {}, browser=True)
    assert capsys.readouterr().out == f"Opening {address}\n{server.STOP}\n"
    (page,) = opened
    assert "secret" not in page, "what opens a browser can be seen by everyone on the computer"
    file = Path(unquote(urlparse(page).path))
    assert address.replace("&", "&amp;") in file.read_text()
    assert file.stat().st_mode & 0o077 == 0


def test_without_a_browser_the_address_is_printed(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("webbrowser.open", lambda _: pytest.fail("it was told not to"))
    port = free_port()
    address = f"http://127.0.0.1:{port}/"
    run(command("handle_request", port), address, tmp_path / "log", {}, browser=False)
    assert capsys.readouterr().out.startswith(f"Open {address}\n")


def test_a_server_that_does_not_start_is_quoted(tmp_path):
    program = "import sys; sys.exit('the disk is gone')"
    with pytest.raises(NotStartedError, match="did not start.*\n.*the disk is gone"):
        run(
            [sys.executable, "-c", program],
            "http://127.0.0.1:9/",
            tmp_path / "log",
            {},
            browser=False,
        )


def test_a_server_that_never_answers_is_ended(tmp_path, monkeypatch):
    monkeypatch.setattr(server, "LONGEST_START", 0.5)
    monkeypatch.setattr(server, "LONGEST_END", 0.5)
    note = tmp_path / "ended"
    program = (
        "import signal, sys, time, pathlib\n"
        f"signal.signal(signal.SIGTERM, lambda *_: pathlib.Path({str(note)!r}).write_text('yes'))\n"
        "for _ in range(600): time.sleep(0.1)\n"
    )
    with pytest.raises(NotStartedError):
        run(
            [sys.executable, "-c", program],
            "http://127.0.0.1:9/",
            tmp_path / "log",
            {},
            browser=False,
        )
    if sys.platform != "win32":
        assert note.read_text() == "yes", "it was asked politely before it was killed"


def test_what_a_server_is_told_is_in_its_environment(tmp_path):
    program = "import os, sys; sys.exit(os.environ['AQUALIB_KEY'])"
    with pytest.raises(NotStartedError, match="from us"):
        run(
            [sys.executable, "-c", program],
            "http://127.0.0.1:9/",
            tmp_path / "log",
            {"AQUALIB_KEY": "from us"},
            browser=False,
        )
