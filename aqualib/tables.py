"""A table that a lesson shows: as lines of text, and as HTML that a screen reader can walk."""

from __future__ import annotations

import html
from collections.abc import Sequence

Cells = Sequence[Sequence[str]]
IN_SIGHT = 4
"""Rows of evidence that a reader sees; the rest opens."""


def as_text(headings: Sequence[str], cells: Cells) -> str:
    """Return the table as lines, each column as wide as its widest cell."""
    lines = [headings, *cells]
    widths = [max(len(row[i]) for row in lines) for i in range(len(headings))]
    padded = ("  ".join(t.ljust(w) for t, w in zip(row, widths, strict=True)) for row in lines)
    return "\n".join(line.rstrip() for line in padded)


def as_html(caption: str, headings: Sequence[str], cells: Cells, in_sight: int = 0) -> str:
    """Return the table as HTML; every cell is escaped.

    `in_sight` is how many rows stand open where there are at least two more; those are folded.
    """
    if in_sight and len(cells) > in_sight + 1:
        first, rest = cells[:in_sight], cells[in_sight:]
        more = as_html("", headings, rest)
        folded = f"<details><summary>{len(rest)} more rows</summary>{more}</details>"
        return as_html(caption, headings, first) + folded
    head = "".join(f'<th scope="col">{html.escape(heading)}</th>' for heading in headings)
    body = "".join(
        "<tr>" + "".join(f"<td>{html.escape(text)}</td>" for text in row) + "</tr>" for row in cells
    )
    above = f"<caption>{html.escape(caption)}</caption>" if caption else ""
    top = f"{above}<thead><tr>{head}</tr></thead>"
    return f"<table>{top}<tbody>{body}</tbody></table>"
