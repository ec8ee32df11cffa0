"""The code of a widget's page: what all share, then its own."""

from __future__ import annotations

from pathlib import Path

SHARED = ("own_inputs.js", "reading_place.js")


def page_code(own: Path) -> str:
    """Return the code of a page as text: for a path, anywidget keeps every view ever made."""
    shared = [Path(__file__).with_name(name) for name in SHARED]
    return "".join(path.read_text(encoding="utf-8") for path in (*shared, own))
