"""The learner's own journal of answers, `mine/progress.jsonl`: added to, never written over.

Each answer is a line of JSON, put at the end in one step. What a crash leaves half is skipped and
said; the line itself stays where it is. There is a journal only where the lessons are a learner's
own copies, so neither a checkout nor a test ever writes one.
"""

from __future__ import annotations

import json
import os
import secrets
import threading
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from aqualib.lesson.own_folder import MINE, own_folder

NAME = "progress.jsonl"
SEEDS = 10_000
USUAL_SEED = 0
"""The seed where nobody's own folder is: in the lessons as shipped, in tests, on pages."""
KINDS: dict[str, Any] = {
    "id": str, "seed": int, "given": str, "found": str, "hints": int, "marked": list,
    "name": str, "label": str, "unit": str, "value": (str, int, float),
}  # fmt: skip
"""What a line may say, and what kind of thing that is; any other line is damaged."""
_one_at_a_time = threading.Lock()


class Journal:
    """What was answered, in one file that only grows."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / MINE / NAME
        self.told = ""
        """What a learner must know of the file, "" if all is well."""

    def events(self) -> list[dict[str, Any]]:
        """Return what was written, line by line; what cannot be read is counted and said."""
        try:
            lines = self.path.read_bytes().split(b"\n")
        except FileNotFoundError:
            return []
        except OSError as problem:
            self.told = f"{self.path.name} cannot be read: {problem.strerror}."
            return []
        found = [_event(line) for line in lines if line.strip()]
        bad = found.count(None)
        if bad:
            self.told = (
                f"{bad} of {len(found)} lines of {MINE}/{NAME} cannot be read. They stay in the "
                "file, and the others are used."
            )
        return [event for event in found if event is not None]

    def add(self, **event: Any) -> None:
        """Put one line at the end; what cannot be written is said and loses nothing."""
        now = datetime.now(UTC).isoformat(timespec="seconds")
        line = json.dumps({"time": now, **event}, ensure_ascii=True).encode() + b"\n"
        try:
            with _one_at_a_time:
                self._add(line)
        except OSError as problem:
            self.told = f"Not kept in {MINE}/{NAME}: {problem.strerror}."

    def _add(self, line: bytes) -> None:
        self._put_aside_what_is_no_file()
        self.path.parent.mkdir(exist_ok=True)
        with self.path.open("a+b") as file:
            if file.seek(0, os.SEEK_END):
                file.seek(-1, os.SEEK_END)
                if file.read(1) != b"\n":
                    line = b"\n" + line  # what a crash cut short stays a line of its own
            file.write(line)
            file.flush()
            os.fsync(file.fileno())

    def _put_aside_what_is_no_file(self) -> None:
        """Move away what has the journal's name and is no file; it is kept."""
        if self.path.exists() and not self.path.is_file():
            aside = self.path.with_name(f"{NAME} put aside {secrets.token_hex(3)}")
            self.path.rename(aside)
            self.told = f"{MINE}/{NAME} was no file; it now is {aside.name}."

    def seed(self) -> int:
        """Return the learner's own seed; it is drawn once."""
        if (known := self._known_seed()) is not None:
            return known
        drawn = 1 + secrets.randbelow(SEEDS)
        self.add(what="seed", seed=drawn)
        # Two lessons that open at once in a new folder both draw: the line that came first holds.
        known = self._known_seed()
        return drawn if known is None else known

    def _known_seed(self) -> int | None:
        """Return the seed of its line or, where that is damaged, of the last answer."""
        events = [event for event in self.events() if isinstance(event.get("seed"), int)]
        drawn = next((event["seed"] for event in events if event["what"] == "seed"), None)
        return drawn if drawn is not None else next((e["seed"] for e in reversed(events)), None)

    def guess(self, label: str, unit: str) -> float | str | None:
        """Return the guess that was kept last under this label, None if there is none."""
        events = reversed(self.events())
        asked = {"what": "guess", "label": label, "unit": unit}
        kept = next((e for e in events if asked.items() <= e.items()), None)
        return kept.get("value") if kept else None

    def name(self) -> str:
        """Return the name or number that the learner wrote last, "" if none."""
        names = [event.get("name") for event in self.events() if event.get("what") == "name"]
        return next((each for each in reversed(names) if isinstance(each, str)), "")


def journal() -> Journal | None:
    """Return the journal of the learner in whose folder a lesson runs, None in nobody's."""
    folder = own_folder()
    return Journal(folder) if folder else None


def _event(line: bytes) -> dict[str, Any] | None:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        return None
    if not isinstance(found, Mapping) or not isinstance(found.get("what"), str):
        return None
    odd = any(not isinstance(found[key], kind) for key, kind in KINDS.items() if key in found)
    return None if odd else dict(found)
