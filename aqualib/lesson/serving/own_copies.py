"""`python -m aqualib`: the learner's own copies, in a JupyterLab set calm, open in the browser."""

from __future__ import annotations

import argparse
import secrets
from collections.abc import Sequence
from pathlib import Path

from aqualib.lesson.own_folder import HIDDEN
from aqualib.lesson.serving import calm, server
from aqualib.lesson.serving.copies import FOLDER, bring, fresh_copy
from aqualib.lesson.serving.shipped import (
    FIRST,
    WORKSHOP,
    lesson_meant,
    page_meant,
    shipped_lessons,
    shipped_workshop,
)


def main(arguments: Sequence[str] | None = None) -> None:
    """Bring the learner's folder up to date and open its first page."""
    chosen = _parser().parse_args(arguments)
    folder = (chosen.folder or usual_folder()).expanduser().absolute()
    port = server.free_port(chosen.port)
    lessons = shipped_lessons()
    page = page_meant(chosen.open, list(lessons)) if chosen.open else FIRST
    if chosen.fresh:
        page = lesson_meant(chosen.fresh, list(lessons))
    if page == WORKSHOP:
        lessons[WORKSHOP] = shipped_workshop()
    brought = bring(lessons, folder)
    print(brought.said(), flush=True)
    if chosen.fresh:
        page = fresh_copy(lessons[page], folder)
        print(f"A fresh copy: {page}", flush=True)
    calm.write_overrides(folder)
    token = secrets.token_urlsafe(24)
    server.run(
        calm.jupyterlab_command(folder, page, port),
        f"http://{server.LOOPBACK}:{port}{calm.page_address(page)}?token={token}",
        folder / HIDDEN / "server.log",
        # In the environment: a command line can be read by everyone on the computer.
        {**calm.own_homes(folder / HIDDEN), "JUPYTER_TOKEN": token},
        browser=not chosen.no_browser,
    )


def usual_folder() -> Path:
    """Return where the lessons go unless told otherwise: into Documents, or else the home."""
    from platformdirs import user_documents_path  # comes with JupyterLab

    documents = user_documents_path()
    return (documents if documents.is_dir() else Path.home()) / FOLDER


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m aqualib",
        description="Open the lessons. You work in copies of your own, and what you wrote there "
        "is never written over; what you type is saved every ten seconds.",
        epilog="Other ways to read the lessons: python -m aqualib pages --help",
    )
    parser.add_argument(
        "--folder", type=Path, help=f"where your copies are kept (usual: {FOLDER} in Documents)"
    )
    which = parser.add_mutually_exclusive_group()
    which.add_argument(
        "--open", metavar="NN", help="begin with this lesson, such as 04, or workshop"
    )
    which.add_argument("--fresh", metavar="NN", help="a new copy of this lesson beside your own")
    parser.add_argument("--port", type=int, help="usual: one that is free")
    parser.add_argument(
        "--no-browser", action="store_true", help="print the address, and open nothing"
    )
    return parser
