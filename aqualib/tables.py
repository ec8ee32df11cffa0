"""A table that a lesson shows: as lines of text, and as HTML that a screen reader can walk."""

from __future__ import annotations

import html
from collections.abc import Sequence

Cells = Sequence[Sequence[str]]


def as_text(headings: Sequence[str], cells: Cells) -> str:
    """Return the table as lines, each column as wide as its widest cell."""
    lines = [headings, *cells]
    widths = [max(len(row[i]) for row in lines) for i in range(len(headings))]
    padded = ("  ".join(t.ljust(w) for t, w in zip(row, widths, strict=True)) for row in lines)
    return "\n".join(line.rstrip() for line in padded)


def as_html(caption: str, headings: Sequence[str], cells: Cells) -> str:
    """Return the table as HTML; every cell is escaped."""
    head = "".join(f'<th scope="col">{html.escape(heading)}</th>' for heading in headings)
    body = "".join(
        "<tr>" + "".join(f"<td>{html.escape(text)}</td>" for text in row) + "</tr>" for row in cells
    )
    top = f"<caption>{html.escape(caption)}</caption><thead><tr>{head}</tr></thead>"
    return f"<table>{top}<tbody>{body}</tbody></table>"
