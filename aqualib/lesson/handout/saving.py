"""A text put into a new file: whole or not at all, and never over a file that is there."""

from __future__ import annotations

import errno
import os
import re
import secrets
import stat
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from aqualib.validity import ValidityError, quoted

DRAFT = re.compile(r"\.aqualib-[0-9a-f]{16}\.part")
"""The name of a file that is being written."""
OLD_DRAFT = 3600.0
"""Seconds after which nobody is writing a draft any more: its process was ended from outside."""


def save(text: str, path: str | os.PathLike[str]) -> Path:
    """Write text to a new file and return its path; a file that is there is never touched.

    The file appears whole or not at all, even if the process is ended in the middle. Then a draft
    may stay behind, `.aqualib-….part`; saving into the same folder an hour later clears it away.
    """
    written = _as_bytes(text)
    to = _place(path)
    _clear_old_drafts(to.parent)
    draft = to.with_name(f".aqualib-{secrets.token_hex(8)}.part")
    try:
        _write(draft, written)
        _name(draft, to)
    except FileExistsError:
        why = "is there already, and nothing was written"
        raise _refused(to, "a name that is not taken", why) from None
    except (OSError, ValueError) as problem:
        valid = "a name that the system allows, in a folder with room that may be written to"
        raise _refused(to, valid, f"was not written: {_why(problem)}") from None
    finally:
        with suppress(OSError, ValueError):
            draft.unlink(missing_ok=True)
    return to


def keep(texts: Mapping[str, str], folder: str | os.PathLike[str] | None) -> None:
    """Save texts by their names in a folder, and say in words where each lies.

    Without a folder nothing is kept. A file that is there is left as it is, and a sentence says
    so: whoever runs a page again has not lost what was there, and the page goes on.
    """
    if folder is None:
        names = ", ".join(f"{name} ({len(_as_bytes(text))} bytes)" for name, text in texts.items())
        print(f"No folder is named, so nothing was kept. Ready to be kept: {names}.")
        return
    for name, text in texts.items():
        to = _place(Path(folder) / name)
        if os.path.lexists(to):
            same = to.is_file() and to.read_bytes() == _as_bytes(text)
            print(f"{name} is there already{', just the same' if same else ''}: left as it was.")
            if not same:
                print("   For the new one, name another folder, or move the old file away first.")
            continue
        print(f"{save(text, to).name} now lies in the folder {to.parent.resolve()}")


def _as_bytes(text: object) -> bytes:
    if not isinstance(text, str) or not text:
        raise ValidityError("text", quoted(text), "some text", "", "is empty or no text")
    try:
        return text.encode()
    except UnicodeEncodeError:
        why = "holds half a sign"
        raise ValidityError("text", quoted(text), "some text", "", why) from None


def _place(path: object) -> Path:
    """Return the path of a file that may be written, as far as that can be told beforehand."""
    valid = 'the path of a new file, such as "care.html"'
    try:
        given = os.fsdecode(path)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise ValidityError("path", quoted(path), valid, "", "is no path") from None
    to = Path(given)
    if to.name in {"", ".."} or given.endswith(("/", os.sep)):
        raise _refused(to, valid, "has no name of a file")
    try:
        there = to.parent.is_dir()
    except (OSError, ValueError):
        there = False
    if not there:
        why = "lies in a folder that is not there"
        raise _refused(to, "a file in a folder that exists", why)
    return to


def _refused(to: Path, valid: str, why: str) -> ValidityError:
    # By repr, so that no odd sign of a name gets to the terminal; the end of it is the name.
    shown = repr(str(to))
    return ValidityError("path", shown if len(shown) <= 120 else f"…{shown[-119:]}", valid, "", why)


def _why(problem: OSError | ValueError) -> str:
    if getattr(problem, "errno", None) == errno.ENOSPC:
        return "the disk is full"
    return getattr(problem, "strerror", None) or "no file can be called so"


def _write(draft: Path, written: bytes) -> None:
    with draft.open("xb") as file:
        file.write(written)
        file.flush()
        # On the disk before it gets its name, so that a power cut leaves no empty file.
        os.fsync(file.fileno())


def _name(draft: Path, to: Path) -> None:
    """Give a finished draft its name in one step; raise `FileExistsError` if the name is taken."""
    try:
        to.hardlink_to(draft)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        # Some drives (memory sticks) and systems (a browser) know no second name for a file.
        with _alone_in(to.parent):
            if os.path.lexists(to):
                raise FileExistsError from None
            draft.rename(to)


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep other savers out of a folder between a look and a step; the system ends it with us.

    Without it two of them could find the same name free. Where a folder cannot be locked, as on
    Windows, renaming itself refuses a name that is taken.
    """
    try:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _clear_old_drafts(folder: Path) -> None:
    """Remove what a process that was ended from outside left behind."""
    before = time.time() - OLD_DRAFT
    with suppress(OSError):
        for file in folder.glob(".aqualib-*.part"):
            with suppress(OSError):
                found = file.lstat()
                ours = DRAFT.fullmatch(file.name) and stat.S_ISREG(found.st_mode)
                if ours and found.st_mtime < before:
                    file.unlink()
