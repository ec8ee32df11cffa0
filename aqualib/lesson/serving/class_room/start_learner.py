"""The start of one learner's server, run as that learner by JupyterHub.

It closes the home to others, brings the lessons, sets limits, and then becomes the server. Work
is never written over: `aqualib.lesson.serving.copies` sees to it.
"""

from __future__ import annotations

import os
import resource
import sys
from collections.abc import Sequence
from pathlib import Path

from aqualib.lesson.own_folder import HIDDEN
from aqualib.lesson.serving.calm import ON_SAVING, QUIET, write_overrides, written
from aqualib.lesson.serving.copies import FOLDER, bring
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.validity import ValidityError

LARGEST_FILE = 256 * 2**20
"""In bytes; the largest lesson with all its outputs has a few hundred thousand."""
NICE = 5
"""Learners' sums give way to the hub and its proxy, so that a busy class can still log in."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Make everything ready, and become the server of one learner."""
    home = Path.home()
    close_home(home)
    folder = home / FOLDER
    bring_lessons(folder)
    set_limits(os.environ.get("MEM_LIMIT", ""), os.environ.get("AQUALIB_PROCESSES", ""))
    command = server_command(folder, sys.argv[1:] if arguments is None else arguments)
    os.execv(command[0], command)


def close_home(home: Path) -> None:
    """Let nobody but the learner into the home, nor into what will be written later."""
    os.umask(0o077)
    home.chmod(0o700)


def bring_lessons(folder: Path) -> None:
    """Bring the lessons; where that fails, the learner gets at least what is there already."""
    folder.mkdir(parents=True, exist_ok=True)
    try:
        print(bring(shipped_lessons(), folder).said(), file=sys.stderr)
        write_overrides(folder)
    except (ValidityError, OSError) as problem:
        print(f"The lessons could not be brought: {problem}", file=sys.stderr)


def set_limits(memory: str, processes: str) -> None:
    """Set what the system itself enforces; an empty word is no limit, `memory` is in bytes."""
    limits = [(resource.RLIMIT_FSIZE, LARGEST_FILE), (resource.RLIMIT_CORE, 0)]
    if processes:
        # Counted for an account on the whole machine: of no use where all learners share one.
        limits.append((resource.RLIMIT_NPROC, int(processes)))
    if memory:
        # Data, not addresses: numerical libraries reserve far more addresses than they ever use.
        limits.append((resource.RLIMIT_DATA, int(memory)))
    for kind, most in limits:
        already = resource.getrlimit(kind)[1]
        lower = most if already == resource.RLIM_INFINITY else min(most, already)
        resource.setrlimit(kind, (lower, lower))
    os.nice(NICE)


def server_command(folder: Path, given: Sequence[str]) -> list[str]:
    """Return the command of the learner's server, calm, and with no door for other learners."""
    options = {
        "LabApp.app_settings_dir": folder / HIDDEN / "settings",
        **QUIET,
        **ON_SAVING,
        "ServerApp.terminals_enabled": False,
        # Over TCP, every account of the machine could listen to what a kernel prints.
        "KernelManager.transport": "ipc",
    }
    return [sys.executable, "-m", "jupyterhub.singleuser", *given, *written(options)]


if __name__ == "__main__":
    main()
