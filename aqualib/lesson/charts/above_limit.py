"""The region above a limit: hatched once, and covered by paper up to where the limit stands."""

from __future__ import annotations

from typing import Any

from aqualib.lesson.charts import style
from aqualib.lesson.charts.shapes import patch, rectangle

EDGE = 0.004
"""How far patches stay away from the axes' own lines."""


class AboveLimit:
    """The region above a limit, on axes from 0 to `end` that are 1 high.

    A hatch is dear to draw: it stands still, and a sheet of paper covers what is within.
    """

    def __init__(self, axes: Any, end: float) -> None:
        self.end = end
        hatched = patch(axes, style.DANGER, 0.16, 0.5)
        hatched.set_edgecolor("#E9B99B")
        hatched.set_xy(rectangle(EDGE * end, EDGE, (1.0 - EDGE) * end, 1.0 - EDGE))
        self.within = patch(axes, style.Look(style.PAPER), 1.0, 0.6)
        self.within.set_edgecolor("none")

    def move(self, height: float) -> None:
        """Let the limit stand at a height."""
        # A little wider than the hatch, so that no edge of it shines through.
        tall = max(height - EDGE, 0.0)
        self.within.set_xy(rectangle(EDGE * self.end, EDGE, 1.01 * self.end, tall))
