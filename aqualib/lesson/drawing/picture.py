"""What a picture asks of a chart, the picture that follows the hand, and its PNG.

One figure lasts for a picture's life, and only what moves is drawn again. The still parts (axes,
labels, glass) are drawn once and kept as a bitmap. Each update restores that bitmap, draws the
moving artists over it and packs the pixels: fast for the page, small for a notebook that is kept.
"""

from __future__ import annotations

import io
import struct
import zlib
from abc import ABC, abstractmethod
from collections.abc import Hashable
from typing import Any, ClassVar, Generic, TypeVar

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from numpy.typing import NDArray
from PIL import Image

from aqualib.lesson.drawing.style import PAPER, enlarged, get_text_size
from aqualib.units import get_units

DOTS_PER_INCH = 100
MOST_PIXELS = 2.0
"""In each direction, for one of the plain picture; more is slow to send."""

SIGNATURE = b"\x89PNG\r\n\x1a\n"
BITS_PER_CHANNEL, TRUE_COLOUR = 8, 2
DIFFERENCE_FROM_ABOVE = 2

Result = TypeVar("Result")


class Chart(ABC, Generic[Result]):
    """What a picture asks of a chart: its still parts and its moving parts.

    A chart is made for one kind of result, which stands in its file, in the units it shows.
    """

    size: ClassVar[tuple[float, float]]
    """Width and height in inches."""

    def frame(self, _result: Result, /) -> Hashable:
        """Return what the still parts depend on; a change makes them be drawn again."""
        return ()

    @abstractmethod
    def build(self, figure: Figure, result: Result, /) -> list[Artist]:
        """Draw the still parts and make the moving ones; return the moving ones, bottom up."""

    @abstractmethod
    def update(self, result: Result, /) -> None:
        """Move the moving artists to show `result`."""


class Picture(Generic[Result]):
    """One chart on one lasting figure."""

    def __init__(self, chart: Chart[Result]) -> None:
        self.chart = chart
        self.pixel_ratio = 1.0
        self.figure = Figure(figsize=chart.size, dpi=DOTS_PER_INCH, facecolor=PAPER)
        self.canvas = FigureCanvasAgg(self.figure)
        self._drawn: Hashable = None
        self._moving: list[Artist] = []
        self._still: Any = None

    def png(self, result: Result) -> bytes:
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

    def _draw_still_parts(self, result: Result) -> None:
        self.figure.clear()
        self.figure.set_dpi(DOTS_PER_INCH * min(MOST_PIXELS, self.pixel_ratio * enlarged()))
        self._moving = self.chart.build(self.figure, result)
        for artist in self._moving:
            artist.set_animated(True)
        self.canvas.draw()
        self._still = self.canvas.copy_from_bbox(self.figure.bbox)


def png(pixels: NDArray[np.uint8]) -> bytes:
    """Return red-green-blue pixels, (rows, columns, 4) of 8 bits, as a PNG file; no alpha."""
    rows, columns = pixels.shape[:2]
    image = Image.frombuffer("RGBX", (columns, rows), pixels, "raw", "RGBX", 0, 1)
    colours = np.frombuffer(image.tobytes("raw", "RGB"), np.uint8).reshape(rows, 3 * columns)
    lines = np.empty((rows, 1 + 3 * columns), np.uint8)
    lines[:, 0] = DIFFERENCE_FROM_ABOVE
    lines[0, 1:] = colours[0]
    np.subtract(colours[1:], colours[:-1], out=lines[1:, 1:])
    packer = zlib.compressobj(1, zlib.DEFLATED, zlib.MAX_WBITS, 9)
    data = packer.compress(lines.data) + packer.flush()
    header = struct.pack(">IIBBBBB", columns, rows, BITS_PER_CHANNEL, TRUE_COLOUR, 0, 0, 0)
    return SIGNATURE + _chunk(b"IHDR", header) + _chunk(b"IDAT", data) + _chunk(b"IEND", b"")


def small_png(packed: bytes, colours: int = 32) -> bytes:
    """Return a PNG with few colours, as small as can be: the still picture kept in a notebook."""
    image = Image.open(io.BytesIO(packed)).quantize(colours, dither=Image.Dither.NONE)
    small = io.BytesIO()
    image.save(small, "PNG", optimize=True)
    return small.getvalue()


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
