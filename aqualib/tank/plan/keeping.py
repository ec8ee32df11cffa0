"""A system's file: read, and written so that neither it nor what stood there before is lost."""

from __future__ import annotations

import os
from collections.abc import Callable
from itertools import count
from pathlib import Path

from aqualib.files import replace_file
from aqualib.tank.plan.system import System
from aqualib.tank.plan.written import MOST_SIGNS, as_json, from_json
from aqualib.validity import ValidityError, quoted

ENDING = ".json"
VALID = 'the path of a system, such as "mine/tank.json"'


def load_system(path: str | os.PathLike[str]) -> System:
    """Return the system in a file, or raise and say in words what is wrong with it.

    A file of an older version is read as if it were of this one; the file stays as it is.
    """
    return from_json(_text_in(_place(path)))


def save_system(system: System, path: str | os.PathLike[str]) -> Path:
    """Write a system to a file in one step, and keep what stood there before.

    The version before lies beside it as `….earlier.json`. What was no system is moved aside under
    a name of its own, `….unreadable 1.json`, and never written over.
    """
    if not isinstance(system, System):
        raise ValidityError("system", quoted(system), "System(...)", "", "is no system")
    text, to = as_json(system), _place(path)
    try:
        if os.path.lexists(to) and not to.is_symlink() and to.is_file():
            if to.read_bytes() == text.encode():
                return to
            keep_before(to, lambda file: from_json(_text_in(file)))
        replace_file(to, text)
    except OSError as problem:
        why = f"was not written: {problem.strerror or 'no file can be called so'}"
        raise ValidityError("path", repr(str(to))[:120], VALID, "", why) from None
    return to


def keep_before(file: Path, read: Callable[[Path], object]) -> None:
    """Give what stands in a file a second name, before the first one goes to what is new.

    What `read` refuses gets a name of its own, and is never written over.
    """
    try:
        read(file)
    except ValidityError:
        file.rename(_free_name(file))
        return
    kept = file.with_name(f"{file.stem}.earlier{ENDING}")
    replace_file(kept, file.read_text(encoding="utf-8"))


def _free_name(file: Path) -> Path:
    """Return a name that is not taken yet, for what cannot be read and yet is kept."""
    names = (file.with_name(f"{file.stem}.unreadable {n}{ENDING}") for n in count(1))
    return next(name for name in names if not os.path.lexists(name))


def _place(path: object) -> Path:
    try:
        to = Path(os.fsdecode(path))  # type: ignore[arg-type]
        usable = to.suffix == ENDING and to.parent.is_dir() and not to.is_dir()
        usable = usable and "\0" not in os.fspath(to)
    except (TypeError, ValueError, OSError):
        usable = False
    if not usable:
        why = f"does not end with {ENDING}, or lies in a folder that is not there"
        raise ValidityError("path", quoted(path), VALID, "", why)
    return to


def _text_in(file: Path) -> str:
    try:
        if file.stat().st_size > 4 * MOST_SIGNS:
            why = "is too long for a system"
            raise ValidityError("path", repr(file.name)[:120], VALID, "", why)
        return file.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        why = "is not there"
    except UnicodeDecodeError:
        why = "is no text in UTF-8"
    except OSError as problem:
        why = f"cannot be read: {problem.strerror}"
    raise ValidityError("path", repr(file.name)[:120], VALID, "", why)
