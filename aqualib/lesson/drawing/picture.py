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

from aqualib.lesson.drawing.style import NARROW, PAPER, get_text_size, shown_at
from aqualib.units import get_units

DOTS_PER_INCH = 100
MOST_PIXELS = 2.0
"""In each direction, for one of the plain picture; more is slow to send."""
LEAST_PIXELS = 0.25
HAIR = 1e-9
"""A figure's pixels are cut to whole ones: 636 must not become 635."""

PLAINLY, MOST_TRIED = 14, 2000
"""Steps of 255 between two colours of a still picture, and how many of its colours are tried."""

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
        self.share = 1.0
        self.pixel_ratio = 1.0
        self.figure = Figure(figsize=chart.size, dpi=DOTS_PER_INCH, facecolor=PAPER)
        self.canvas = FigureCanvasAgg(self.figure)
        self._drawn: Hashable = None
        self._moving: list[Artist] = []
        self._still: Any = None

    def fit(self, width: float, pixel_ratio: float) -> None:
        """Draw from now on for a place so many of the page's pixels wide, none resampled."""
        self.share = width / (DOTS_PER_INCH * self.chart.size[0])
        self.pixel_ratio = pixel_ratio

    @property
    def zoom(self) -> float:
        """How many pixels stand for one of the plain picture, in each direction."""
        return min(MOST_PIXELS, max(LEAST_PIXELS, self.share * self.pixel_ratio))

    def png(self, result: Result) -> bytes:
        """Show `result` and return the picture as PNG."""
        with shown_at(self.share):
            return self._png(result)

    def _png(self, result: Result) -> bytes:
        large = self.share < NARROW
        wanted = (get_units(), get_text_size(), large, self.zoom, self.chart.frame(result))
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
        self.figure.set_dpi(DOTS_PER_INCH * self.zoom * (1.0 + HAIR))
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


def small_png(packed: bytes, colours: int = 64) -> bytes:
    """Return a PNG with few colours, as small as can be: the still picture kept in a notebook.

    Its colours are the commonest of the picture, as they are; the edges of letters and lines take
    the nearest. An even cut through all colours would merge hues that tell things apart.
    """
    image = Image.open(io.BytesIO(packed))
    palette = Image.new("P", (1, 1))
    palette.putpalette(bytes(commonest(np.asarray(image), colours).ravel()))
    small = io.BytesIO()
    image.quantize(palette=palette, dither=Image.Dither.NONE).save(small, "PNG", optimize=True)
    return small.getvalue()


def commonest(pixels: NDArray[np.uint8], count: int) -> NDArray[np.uint8]:
    """Return the commonest colours of an image that differ plainly, at most so many, (n, 3)."""
    places = np.array([1 << 16, 1 << 8, 1], np.uint32)
    found, times = np.unique(pixels.reshape(-1, 3).astype(np.uint32) @ places, return_counts=True)
    colours = found[np.argsort(-times, kind="stable")][:MOST_TRIED, None] // places % 256
    chosen = colours[:1]
    for colour in colours[1:].astype(np.int64):
        if len(chosen) == count:
            break
        if np.abs(chosen.astype(np.int64) - colour).max(axis=1).min() >= PLAINLY:
            chosen = np.vstack([chosen, colour])
    return np.asarray(chosen, np.uint8)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
