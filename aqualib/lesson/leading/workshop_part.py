"""One part of a workshop: a panel in large text, and below it, folded, what it shows when moved."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from IPython.display import display

from aqualib.lesson.asking import fold
from aqualib.lesson.panel import Panel

HEADING = "What was seen"


def what_was_seen(
    panel: Panel,
    moves: Mapping[str, Mapping[str, Any]],
    tell: Callable[[Any], str] | None = None,
) -> None:
    """Show a panel, then fold below it what it says after each of some moves.

    `moves` has for each line its words and what is set. `tell` makes a line of the result; left
    out, the line is the panel's highlighted answer.
    """
    display(panel)
    with fold(HEADING):
        for words, values in moves.items():
            said = panel.replay(**values)
            print(f"{words}: {tell(panel.result) if tell else said}")
    panel.reset()
