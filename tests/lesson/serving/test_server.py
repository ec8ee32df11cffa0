"""A server is waited for, shown, and ended; one that does not start is quoted."""

import signal
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote, urlparse

import psutil
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


def run_program(program, folder, **environment):
    """Run a server that nobody can reach."""
    nowhere = "http://127.0.0.1:9/"
    run([sys.executable, "-c", program], nowhere, folder / "log", environment, browser=False)


def test_a_server_that_does_not_start_is_quoted(tmp_path):
    with pytest.raises(NotStartedError, match=r"did not start.*\n.*the disk is gone"):
        run_program("import sys; sys.exit('the disk is gone')", tmp_path)


def test_what_a_server_is_told_is_in_its_environment(tmp_path):
    with pytest.raises(NotStartedError, match="from us"):
        run_program("import os, sys; sys.exit(os.environ['KEY'])", tmp_path, KEY="from us")


def test_a_server_that_never_answers_is_ended(tmp_path, monkeypatch):
    monkeypatch.setattr(server, "LONGEST_START", 0.2)
    before = psutil.Process().children()  # such as a browser of other tests
    with pytest.raises(NotStartedError):
        run_program("import time; time.sleep(600)", tmp_path)
    assert psutil.Process().children() == before


@pytest.mark.skipif(sys.platform == "win32", reason="has no polite end from outside")
def test_it_is_asked_politely_before_it_is_killed(monkeypatch):
    monkeypatch.setattr(server, "LONGEST_END", 0.5)
    program = (
        "import signal, time\n"
        "signal.signal(signal.SIGTERM, lambda *_: print('asked', flush=True))\n"
        "print('ready', flush=True)\n"
        "while True: time.sleep(0.1)\n"
    )
    with subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE) as stubborn:
        assert stubborn.stdout.readline() == b"ready\n"
        server._end(stubborn)
        assert stubborn.returncode == -signal.SIGKILL
        assert stubborn.stdout.read() == b"asked\n"
