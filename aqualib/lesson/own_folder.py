"""The learner's own folder: where `python -m aqualib` put the lessons, and where `mine/` lies.

A lesson that runs anywhere else (a checkout, a test, a page for all) keeps nothing.
"""

from __future__ import annotations

from pathlib import Path

HIDDEN = ".aqualib"
"""The folder within the learner's that holds what is not theirs: record, settings, log."""
COPIED = "copied.json"
"""In it, the record of what was copied: it marks a folder as a learner's own."""
MINE = "mine"
"""The folder for what is the learner's: their tank, their answers, their plans."""


def own_folder() -> Path | None:
    """Return the learner's folder in which the lesson runs, None in nobody's."""
    here = Path.cwd()
    # Some lessons lie in a folder of their own.
    return next((f for f in (here, here.parent) if (f / HIDDEN / COPIED).is_file()), None)


def mine() -> Path:
    """Return the folder for what is the learner's, or beside the lesson in nobody's folder."""
    return (own_folder() or Path.cwd()) / MINE
