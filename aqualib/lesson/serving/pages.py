"""`python -m aqualib pages`: lessons as pages without code, their panels alive, served by Voilà.

Each open page has a Python of its own. It ends when the page is left, and where a page could not
say so, ten minutes after it lost its connection. Voilà can also start pages ahead of their readers,
but the two fight: what waits for a reader is idle, is ended, and the reader waits for ever. A room
in which pages are opened all evening needs the ending more.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import secrets
import socket
import sys
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from urllib.parse import quote

from aqualib.lesson.serving import calm, server
from aqualib.lesson.serving.shipped import (
    FIRST,
    WORKSHOP,
    page_meant,
    shipped_lessons,
    shipped_workshop,
    title_of,
)

TEMPLATES = Path(__file__).resolve().parent / "jupyter"
EVERYWHERE = {"0.0.0.0", "::"}
NOBODY = "192.0.2.1"
"""An address that is kept for documents (RFC 5737) and belongs to nobody."""
NO_NETWORK = (
    "This computer is in no network that was found, so the address below works on this computer "
    "alone. In a network, other computers need its own address in place of localhost."
)
IDLE_END = 600
"""Seconds after which the Python of a page that nobody has open is ended."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Serve the lessons named, or all of them, and open the first."""
    chosen = _parser().parse_args(arguments)
    if importlib.util.find_spec("voila") is None:
        message = 'pages need Voilà: python -m pip install "aqualib[pages]"'
        raise server.NotStartedError(message)
    lessons = shipped_lessons()
    asked = [page_meant(name, list(lessons)) for name in chosen.lessons]
    if WORKSHOP in asked:  # it points to the lessons, so they come along
        asked += [name for name in lessons if name not in asked]
        lessons[WORKSHOP] = shipped_workshop()
    port = server.free_port(chosen.port, chosen.address)
    token = "" if chosen.no_token else secrets.token_urlsafe(24)
    everywhere = chosen.address in EVERYWHERE
    here = "localhost" if everywhere else chosen.address
    host = (in_the_network() or here) if everywhere else here
    if everywhere and host == here:
        print(NO_NETWORK, flush=True)
    key = f"?token={token}" if token else ""
    with tempfile.TemporaryDirectory(prefix="aqualib-pages-") as made:
        folder = Path(made)
        (folder / "pages").mkdir()
        # The first lesson is always there: it holds the glossary that all others point to.
        for name in {FIRST, *(asked or lessons)}:
            page = as_page(lessons[name].read_text(encoding="utf-8"))
            to = folder / "pages" / name
            to.parent.mkdir(exist_ok=True)
            to.write_text(page, encoding="utf-8")
        server.run(
            voila_command(folder / "pages", chosen.address, port, chosen.idle),
            f"http://{host}:{port}/voila/render/{quote((asked or [FIRST])[0])}{key}",
            folder / "server.log",
            {**calm.own_homes(folder), "JUPYTER_PATH": str(TEMPLATES), "JUPYTER_TOKEN": token},
            browser=not chosen.no_browser,
            alive=f"http://{here}:{port}/{key}",  # a lesson would start a Python
        )


def in_the_network() -> str:
    """Return this computer's own address in its network, "" if it is in none.

    A datagram socket that is only connected sends nothing: it says which way a word would go.
    """
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        way.connect((NOBODY, 9))
        address = str(way.getsockname()[0])
        return "" if address.startswith("127.") or address == "0.0.0.0" else address
    return ""


def as_page(notebook: str) -> str:
    """Return a lesson's text with its title where a page has it, and nothing worked out yet."""
    content = json.loads(notebook)
    content["metadata"]["title"] = title_of(content["cells"]) or "Lesson"
    for cell in content["cells"]:
        if cell["cell_type"] == "code":
            cell["outputs"], cell["execution_count"] = [], None
    return json.dumps(content)


def voila_command(folder: Path, address: str, port: int, idle: int = IDLE_END) -> list[str]:
    """Return the command that serves a folder of lessons as pages."""
    options = {
        "Voila.ip": address,
        "Voila.port": port,
        "Voila.port_retries": 0,
        "Voila.open_browser": False,
        "Voila.auto_token": True,  # that is: the one in the environment
        "VoilaConfiguration.template": "aqualib",
        "VoilaConfiguration.allow_template_override": "NO",
        "VoilaConfiguration.allow_theme_override": "NO",
        "VoilaConfiguration.classic_tree": True,  # our own list of lessons
        "VoilaConfiguration.file_denylist": "['.*']",
        # Else the word with which a page takes its leave is refused, and its Python stays. What is
        # left open by this: someone who knows the random name of a page's Python can end it.
        "Voila.tornado_settings": "{'disable_check_xsrf': True}",
        "MappingKernelManager.cull_idle_timeout": idle,
        "MappingKernelManager.cull_interval": max(1, idle // 10),
    }
    return [sys.executable, "-m", "voila", *calm.written(options), str(folder)]


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m aqualib pages",
        description="Show lessons as pages without code. Only this computer can open them, and "
        "only with the address that is printed, unless you say otherwise.",
    )
    parser.add_argument(
        "lessons", nargs="*", metavar="NN", help="such as 02 04, or workshop (usual: all)"
    )
    parser.add_argument("--address", default=server.LOOPBACK, help="0.0.0.0 for other computers")
    parser.add_argument("--port", type=int, help="usual: one that is free")
    parser.add_argument("--no-token", action="store_true", help="let in who knows the port")
    parser.add_argument(
        "--idle", type=int, default=IDLE_END, help="seconds until a page that was left is ended"
    )
    parser.add_argument(
        "--no-browser", action="store_true", help="print the address, and open nothing"
    )
    return parser
