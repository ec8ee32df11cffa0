"""Printed results that stay folded until the reader opens them, so that they spoil no guess."""

from __future__ import annotations

import html
import io
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout

from IPython.display import display

HEADING = "The three, worked out"


class FoldedLines:
    """Lines of text under a heading that opens."""

    def __init__(self, heading: str, lines: str) -> None:
        self.heading = heading
        self.lines = lines

    def __repr__(self) -> str:
        return f"{self.heading}: {len(self.lines.splitlines())} lines"

    def _repr_html_(self) -> str:
        heading, lines = html.escape(self.heading), html.escape(self.lines)
        return f"<details><summary>{heading}</summary><pre>{lines}</pre></details>"


@contextmanager
def fold(heading: str = HEADING) -> Iterator[None]:
    """Fold what is printed inside; what went wrong there is not folded."""
    printed = io.StringIO()
    with redirect_stdout(printed):
        yield
    display(FoldedLines(heading, printed.getvalue().rstrip()))
