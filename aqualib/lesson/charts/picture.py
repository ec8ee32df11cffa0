"""A picture that follows the hand: one figure for its life, only what moves is drawn again.

The still parts (axes, labels, glass) are drawn once and kept as a bitmap. Each update restores
that bitmap, draws the moving artists over it and packs the result as PNG.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any, Protocol

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from aqualib.lesson.charts.png import png
from aqualib.lesson.charts.style import PAPER, enlarged, get_text_size
from aqualib.units import get_units

DOTS_PER_INCH = 100
MOST_PIXELS = 2.0
"""In each direction, for one of the plain picture; more is slow to send."""


class Chart(Protocol):
    """What a picture needs of a chart: its still parts and its moving parts."""

    size: tuple[float, float]
    """Width and height in inches."""

    def frame(self, result: Any) -> Hashable:
        """Return what the still parts depend on; a change makes them be drawn again."""

    def build(self, figure: Figure, result: Any) -> list[Artist]:
        """Draw the still parts and make the moving ones; return the moving ones, bottom up."""

    def update(self, result: Any) -> None:
        """Move the moving artists to show `result`."""


class Picture:
    """One chart on one lasting figure."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        self.pixel_ratio = 1.0
        self.figure = Figure(figsize=chart.size, dpi=DOTS_PER_INCH, facecolor=PAPER)
        self.canvas = FigureCanvasAgg(self.figure)
        self._drawn: Hashable = None
        self._moving: list[Artist] = []
        self._still: Any = None

    def png(self, result: Any) -> bytes:
        """Show `result` and return the picture as PNG."""
        wanted = (get_units(), get_text_size(), self.pixel_ratio, self.chart.frame(result))
        if wanted != self._drawn:
            self._draw_still_parts(result)
            self._drawn = wanted
        self.canvas.restore_region(self._still)
        self.chart.update(result)
        renderer = self.canvas.get_renderer()
        for artist in self._moving:
            artist.draw(renderer)
        return png(np.asarray(self.canvas.buffer_rgba()))

    def release(self) -> None:
        """Let the pixels go; a later `png` draws everything anew."""
        self.figure.clear()
        self.canvas = FigureCanvasAgg(self.figure)
        self._drawn, self._moving, self._still = None, [], None

    def _draw_still_parts(self, result: Any) -> None:
        self.figure.clear()
        self.figure.set_dpi(DOTS_PER_INCH * min(MOST_PIXELS, self.pixel_ratio * enlarged()))
        self._moving = self.chart.build(self.figure, result)
        for artist in self._moving:
            artist.set_animated(True)
        self.canvas.draw()
        self._still = self.canvas.copy_from_bbox(self.figure.bbox)
