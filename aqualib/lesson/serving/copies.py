"""The learner's own copies of the lessons: kept up to date, and their work never written over.

What was copied is remembered in the folder, in `.aqualib/copied.json`: the lesson as it was, and
its words, that is the source of its cells. JupyterLab writes outputs and versions into each page
that it opens, so a page that was only read and run still has its words, and counts as untouched.
Everything here may be ended in the middle: a lesson is put in its place whole or not at all, and
what stood there before lies in `.aqualib/earlier`.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field, replace
from itertools import count
from pathlib import Path

from aqualib.files import replace_file
from aqualib.lesson.own_folder import COPIED, HIDDEN
from aqualib.validity import ValidityError

FOLDER = "aquarium-lessons"
"""What the learner's folder is called unless told otherwise."""


@dataclass(frozen=True)
class Copied:
    """One file that was copied: which text, with which words, and which newer text lies beside."""

    text: str
    words: str
    offered: str = ""


@dataclass
class Brought:
    """What was done to a learner's folder; every name is that of a file in it."""

    folder: Path
    lessons: int
    new: list[str] = field(default_factory=list)
    updated: list[str] = field(default_factory=list)
    beside: list[str] = field(default_factory=list)

    def said(self) -> str:
        """Return it in one sentence for the learner."""
        parts = [f"{len(self.new)} new"] if self.new else []
        parts += [f"{len(self.updated)} brought up to date"] if self.updated else []
        done = f" ({', '.join(parts)})" if parts else ""
        kept = (
            f" You have changed some lessons, which stay as they are; the newer ones lie beside"
            f" them: {', '.join(self.beside)}."
        )
        return f"{self.lessons} lessons{done} in {self.folder}.{kept if self.beside else ''}"


def bring(shipped: Mapping[str, Path], folder: Path) -> Brought:
    """Copy into a folder each lesson that is not there; renew those that nobody has changed."""
    (folder / HIDDEN).mkdir(parents=True, exist_ok=True)
    brought = Brought(folder, len(shipped))
    for name, original in shipped.items():
        _bring_one(name, original.read_text(encoding="utf-8"), brought)
    return brought


def fresh_copy(original: Path, folder: Path) -> str:
    """Put a new copy of a lesson beside whatever is there; return the name of its file."""
    text = original.read_text(encoding="utf-8")
    for name in _names_beside(original.name, "fresh"):
        if not os.path.lexists(folder / name) and _put(text, folder / name):
            return name
    raise AssertionError  # names never run out


def _bring_one(name: str, text: str, brought: Brought) -> None:
    folder, to = brought.folder, brought.folder / name
    was, now = _record(folder).get(name), Copied(_digest(text), _words(text))
    if not os.path.lexists(to):
        if _put(text, to):
            _remember(folder, {name: now})
            brought.new.append(name)
        return
    if was and now.text in {was.text, was.offered}:
        return
    mine = _words_in(to)
    if was and mine == was.words:
        if _renew(to, text, was):
            _remember(folder, {name: now})
            brought.updated.append(name)
    elif mine == now.words:  # copied, and ended before it could be remembered
        _remember(folder, {name: now})
    else:
        beside = _put_beside(name, text, now, folder)
        kept = replace(was, offered=now.text) if was else Copied("", "", now.text)
        _remember(folder, {name: kept, beside: now})
        brought.beside.append(beside)


def _put_beside(name: str, text: str, now: Copied, folder: Path) -> str:
    """Put a newer lesson beside a changed copy; one put there before is renewed if untouched."""
    record = _record(folder)
    for beside in _names_beside(name, "new"):
        to = folder / beside
        if not os.path.lexists(to):
            if _put(text, to):
                return beside
            continue
        mine, was = _words_in(to), record.get(beside)
        if mine == now.words:
            return beside
        if was and mine == was.words and _renew(to, text, was):
            return beside
    raise AssertionError  # names never run out


def _names_beside(name: str, mark: str) -> Iterator[str]:
    stem = name.removesuffix(".ipynb")
    yield f"{stem} ({mark}).ipynb"
    for number in count(2):
        yield f"{stem} ({mark} {number}).ipynb"


def _put(text: str, to: Path) -> bool:
    """Write a new file; return whether it was done, which it is not where the name is taken."""
    from aqualib.lesson.handout import save  # takes a second to load, and most days copy nothing

    to.parent.mkdir(exist_ok=True)  # the workshop lies in a folder of its own
    try:
        save(text, to)
    except ValidityError:
        if os.path.lexists(to):  # another start was quicker
            return False
        raise
    return True


def _renew(to: Path, text: str, was: Copied) -> bool:
    """Put a newer text in the place of an untouched copy, which is moved aside and kept.

    Return whether it was done: not where the copy was changed at the last moment.
    """
    aside = to.parent / HIDDEN / "earlier"
    aside.mkdir(parents=True, exist_ok=True)
    moment = f"{time.strftime('%Y-%m-%d %H-%M-%S')} {os.getpid()}"
    kept = aside / f"{to.stem} {moment}{to.suffix}"
    # Looked at again once it is out of reach: a page open elsewhere saves itself at any moment.
    to.rename(kept)
    if _words_in(kept) == was.words:
        return _put(text, to)
    if not os.path.lexists(to):
        kept.rename(to)
    return False


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _words(text: str) -> str:
    """Return the digest of what a learner writes in a notebook: kinds and sources of its cells."""
    cells = [(cell["cell_type"], "".join(cell["source"])) for cell in json.loads(text)["cells"]]
    return _digest(json.dumps(cells))


def _words_in(file: Path) -> str | None:
    """Return the digest of the words in a file; of what is no notebook nothing is known."""
    try:
        return _words(file.read_text(encoding="utf-8"))
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _record(folder: Path) -> dict[str, Copied]:
    """Return what was copied, as far as it can be read; a copy unknown counts as changed."""
    try:
        rows = json.loads((folder / HIDDEN / COPIED).read_text(encoding="utf-8"))
        return {name: Copied(**row) for name, row in rows.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _remember(folder: Path, entries: Mapping[str, Copied]) -> None:
    rows = {name: asdict(row) for name, row in {**_record(folder), **entries}.items()}
    replace_file(folder / HIDDEN / COPIED, json.dumps(rows, indent=1, sort_keys=True))
