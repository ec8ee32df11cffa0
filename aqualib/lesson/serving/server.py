"""A server in a process of its own: started, shown in the browser, and ended with this one."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
import webbrowser
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from html import escape
from pathlib import Path
from types import FrameType
from typing import BinaryIO

from aqualib.validity import ValidityError

LOOPBACK = "127.0.0.1"
LONGEST_START = 120.0
"""Seconds; a slow disk and a cold cache take half a minute."""
LONGEST_END = 15.0
STOP = "To stop, press Ctrl + C here."


class NotStartedError(RuntimeError):
    """The server ended, or did not answer, before anyone could see a page."""


def free_port(asked: int | None = None, host: str = LOOPBACK) -> int:
    """Return a port that nobody uses; refuse the one asked for where it is taken."""
    with socket.socket() as trial:
        if os.name == "posix":  # else the port of a server just stopped would seem taken
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, asked or 0))
        except (OSError, OverflowError):
            valid = "a number from 1024 to 65535 that no other program uses"
            raise ValidityError("port", asked, valid, "", "cannot be had") from None
        return int(trial.getsockname()[1])


def run(
    command: Sequence[str],
    address: str,
    log: Path,
    environment: Mapping[str, str],
    *,
    browser: bool,
    alive: str = "",
) -> None:
    """Serve until the user ends it; what the server itself has to say goes into `log`.

    `alive` is an address to ask until it answers, where `address` would be dear to ask.
    """
    with _ended_with_us(), _process(command, log, environment) as server:
        _wait_for(alive or address, server, log)
        print(f"Open {address}" if not browser else f"Opening {address}", flush=True)
        print(STOP, flush=True)
        if browser:
            _open(address, log.with_name("open.html"))
        server.wait()


@contextmanager
def _process(
    command: Sequence[str], log: Path, environment: Mapping[str, str]
) -> Iterator[subprocess.Popen[bytes]]:
    with _only_ours(log) as written:
        server = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=written,
            stderr=written,
            env={**os.environ, **environment},
            # Ctrl + C reaches us alone, and the server is asked to end its kernels in good order.
            start_new_session=True,
        )
    try:
        yield server
    finally:
        _end(server)


def _end(server: subprocess.Popen[bytes]) -> None:
    # On Windows this would be no polite end, but there Ctrl + C has reached the server as well.
    if os.name == "posix":
        server.terminate()
    try:
        server.wait(timeout=LONGEST_END)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


@contextmanager
def _ended_with_us() -> Iterator[None]:
    """Let a polite end from outside (a closed window, a service manager) end the server too."""

    def leave(_number: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    wanted = [getattr(signal, name, None) for name in ("SIGTERM", "SIGHUP")]
    before = {number: signal.signal(number, leave) for number in wanted if number}
    try:
        yield
    except KeyboardInterrupt:
        print("Stopped.")
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _wait_for(address: str, server: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + LONGEST_START
    while time.monotonic() < end and server.poll() is None:
        with suppress(OSError), urllib.request.urlopen(address, timeout=5):
            return
        time.sleep(0.05)
    last = log.read_text(encoding="utf-8", errors="replace").strip().splitlines()[-5:]
    message = "The server did not start. Its last words:\n" + "\n".join(last)
    raise NotStartedError(message)


def _open(address: str, page: Path) -> None:
    """Open the browser by way of a page on the disk, so that no list of processes shows the key."""
    to = escape(address, quote=True)
    with _only_ours(page) as file:
        head = f'<meta charset="utf-8"><meta http-equiv="refresh" content="0; url={to}">'
        file.write(f'<!doctype html>{head}<a href="{to}">{to}</a>'.encode())
    webbrowser.open(page.resolve().as_uri())


def _only_ours(path: Path) -> BinaryIO:
    """Open a new file that only this user may read: it holds the key to the lessons."""
    path.unlink(missing_ok=True)
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb")
