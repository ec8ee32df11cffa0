"""A text put into a new file: whole or not at all, and never over a file that is there."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from aqualib.validity import ValidityError


def save(text: str, path: str | os.PathLike[str]) -> Path:
    """Write text to a new file and return its path; a file that is there is never touched.

    The file appears whole or not at all.
    """
    written = _octets(text)
    to = Path(path)
    if not to.parent.is_dir():
        why = "lies in a folder that is not there"
        raise ValidityError("path", str(to), "a file in a folder that exists", "", why)
    draft = to.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with draft.open("xb") as file:
            file.write(written)
        _name(draft, to)
    except FileExistsError:
        why = "is there already, and nothing was written"
        raise ValidityError("path", str(to), "a name that is not taken", "", why) from None
    finally:
        draft.unlink(missing_ok=True)
    return to


def _octets(text: object) -> bytes:
    if not isinstance(text, str) or not text:
        raise ValidityError("text", repr(text)[:60], "some text", "", "is empty or no text")
    try:
        return text.encode()
    except UnicodeEncodeError:
        why = "holds half a sign"
        raise ValidityError("text", repr(text)[:60], "some text", "", why) from None


def _name(draft: Path, to: Path) -> None:
    """Give a finished draft its name; the system refuses if the name is taken."""
    try:
        to.hardlink_to(draft)
    except FileExistsError:
        raise
    except OSError:
        # Some file systems (such as memory sticks) know no second name for a file.
        with to.open("xb") as file:
            file.write(draft.read_bytes())
