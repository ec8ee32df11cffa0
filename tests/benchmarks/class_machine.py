"""A class's machine for the benchmark: accounts made for the run, and a JupyterHub over them.

Accounts, their homes and their group are made here and taken away again; where one of that name
is there already, nothing is touched and the run stops.
"""

from __future__ import annotations

import contextlib
import grp
import os
import pwd
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from dataclasses import dataclass
from pathlib import Path

import psutil

from aqualib.lesson.serving.class_room.configuration import write_sample

GROUP = "aq-class-of-a-test"
START = 120.0
# What a test may not wait for: half an hour without a sign of life, told to the hub every 5 min.
SHORTER = """
load_subconfig({sample!r})
c.JupyterHub.bind_url = {address!r}
c.JupyterHub.hub_port = {hub_port}
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{proxy_port}"
c.LocalAuthenticator.allowed_groups = {{{group!r}}}
c.JupyterHub.last_activity_interval = 5
c.Spawner.environment["JUPYTERHUB_ACTIVITY_INTERVAL"] = "5"
c.JupyterHub.services[0]["command"][-2:] = ["--timeout={idle}", "--cull-every=5"]
"""


@dataclass(frozen=True)
class Account:
    """One account of this machine, with a password that lives as long as the run."""

    name: str
    password: str

    @property
    def uid(self) -> int:
        return pwd.getpwnam(self.name).pw_uid

    @property
    def home(self) -> Path:
        return Path(pwd.getpwnam(self.name).pw_dir)

    def processes(self):
        """Return this account's processes: its server and its kernels."""
        return [p for p in psutil.process_iter(["uids", "cmdline"]) if _owner(p) == self.uid]

    def server(self):
        """Return the process that is this account's server."""
        (server,) = [p for p in self.processes() if "jupyterhub.singleuser" in p.info["cmdline"]]
        return server


def _owner(process):
    return process.info["uids"].real if process.info["uids"] else -1


@contextlib.contextmanager
def accounts(how_many):
    """Give so many accounts in the class's group, and one more that is not in it."""
    names = [f"aq-test-{number:02d}" for number in range(1, how_many + 1)] + ["aq-test-outsider"]
    taken = {entry.pw_name for entry in pwd.getpwall()} & set(names)
    if taken or GROUP in {entry.gr_name for entry in grp.getgrall()}:
        raise SystemExit(f"on this machine already, and left alone: {sorted(taken) or GROUP}")
    made = []
    _run("groupadd", GROUP)
    try:
        for place, name in enumerate(names):
            # The first home is open to others, as some systems make it: the start closes it.
            mode = "0755" if place == 0 else "0700"
            group = [] if name.endswith("outsider") else ["--groups", GROUP]
            _run("useradd", "--create-home", "-K", f"HOME_MODE={mode}", *group, name)
            made.append(Account(name, secrets.token_urlsafe(12)))
            _run("chpasswd", said=f"{name}:{made[-1].password}\n")
        yield made[:-1], made[-1]
    finally:
        for account in made:
            for process in account.processes():
                with contextlib.suppress(psutil.Error):
                    process.kill()
            _run("userdel", "--remove", account.name, check=False)
        _run("groupdel", GROUP, check=False)


def _run(*command, said="", check=True):
    done = subprocess.run(command, input=said, capture_output=True, text=True, check=False)
    if check and done.returncode:
        raise SystemExit(f"{command[0]}: {done.stderr.strip()}")


@dataclass(frozen=True)
class Hub:
    """A JupyterHub that runs: where it is, its process, its folder."""

    address: str
    process: psutil.Process
    folder: Path

    def tree(self):
        """Return the hub's own processes: hub, proxy, the one that ends idle servers."""
        return [p for p in (self.process, *self.process.children(recursive=True)) if not _uid(p)]

    def said(self):
        """Return what it wrote into its log."""
        return (self.folder / "hub.log").read_text()


def _uid(process):
    try:
        return process.uids().real
    except psutil.Error:
        return -1


@contextlib.contextmanager
def hub(folder, idle):
    """Run JupyterHub with the sample configuration, and servers ended after `idle` seconds."""
    if shutil.which("configurable-http-proxy") is None:
        raise SystemExit(
            "configurable-http-proxy is not found: npm install configurable-http-proxy"
        )
    ports = _free_ports(3)
    address = f"http://127.0.0.1:{ports[0]}"
    config = folder / "shorter.py"
    config.write_text(
        SHORTER.format(
            sample=str(write_sample(folder)),
            address=address,
            hub_port=ports[1],
            proxy_port=ports[2],
            group=GROUP,
            idle=idle,
        )
    )
    with (folder / "hub.log").open("w") as log:
        process = subprocess.Popen(
            [sys.executable, "-m", "jupyterhub", "--config", str(config)],
            cwd=folder,
            stdout=log,
            stderr=log,
            env={key: value for key, value in os.environ.items() if key != "PYTHONPATH"},
        )
        running = Hub(address, psutil.Process(process.pid), folder)
        try:
            _wait_for(f"{address}/hub/health", process, running)
            yield running
        finally:
            process.terminate()
            try:
                process.wait(timeout=60)
            except subprocess.TimeoutExpired:
                process.kill()


def _free_ports(how_many):
    with contextlib.ExitStack() as held:
        free = [held.enter_context(socket.socket()) for _ in range(how_many)]
        for one in free:
            one.bind(("127.0.0.1", 0))
        return [one.getsockname()[1] for one in free]


def _wait_for(address, process, running):
    end = time.monotonic() + START
    while time.monotonic() < end and process.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except OSError:
            time.sleep(0.2)
    raise SystemExit(f"JupyterHub did not start:\n{running.said()[-3000:]}")
