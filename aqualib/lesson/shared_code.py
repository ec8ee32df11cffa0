"""The code of a widget's page: what all share, then its own."""

from __future__ import annotations

from pathlib import Path

SHARED = Path(__file__).with_name("own_inputs.js")


def page_code(own: Path) -> str:
    """Return the code of a page as text: for a path, anywidget keeps every view ever made."""
    return SHARED.read_text(encoding="utf-8") + own.read_text(encoding="utf-8")
