"""The project's own commands, started as a reader starts them, for tests and benchmarks."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
START = 120.0


class Served:
    """A command of ours that serves: where, and what it said."""

    def __init__(self, process):
        self.process = process
        self.said = ""
        self.address = ""
        self._known = threading.Event()
        self._listener = threading.Thread(target=self._listen, daemon=True)
        self._listener.start()

    def _listen(self):
        with self.process.stdout as said:
            for line in said:
                self.said += line
                if found := re.search(r"(http://\S+)", line):
                    self.address = found[1]
                if "Ctrl + C" in line:
                    self._known.set()
        self._known.set()

    def wait(self):
        """Wait until it says that it serves, or ends."""
        assert self._known.wait(START), self.said
        assert self.process.poll() is None, self.said
        return self

    @property
    def root(self):
        """The address of the server, without page and key."""
        return re.match(r"http://[^/]+", self.address)[0]

    @property
    def token(self):
        return self.address.partition("token=")[2]

    def end(self, how="SIGINT"):
        """End it as Ctrl + C does, or otherwise; return what it left with."""
        if self.process.poll() is None:
            self.process.send_signal(getattr(signal, how))
        left = self.process.wait(timeout=40)
        self._listener.join(timeout=10)
        return left


@contextlib.contextmanager
def served(*arguments, home, python=sys.executable, package=TOP):
    """Run `python -m aqualib …` with a home of its own and no browser."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("JUPYTER", "XDG"))}
    environment |= {"HOME": str(home), "USERPROFILE": str(home), "PYTHONUNBUFFERED": "1"}
    environment.pop("PYTHONPATH", None)
    if package:
        environment["PYTHONPATH"] = str(package)
    process = subprocess.Popen(
        [str(python), "-m", "aqualib", *map(str, arguments), "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=home,
        env=environment,
    )
    command = Served(process)
    try:
        yield command.wait()
    finally:
        command.end()
