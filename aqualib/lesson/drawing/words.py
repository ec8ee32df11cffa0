"""What stays as it is between two pictures is drawn once and kept: lines of text, and groups.

Setting type costs more than all other drawing in a panel, and at most steps of a slider most
words stay as they are. `Words` keeps the pictures of its texts and sets type only for a new one.
`Kept` does so for the parts of a drawing that follow some controls and not the one in the hand.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from functools import lru_cache
from typing import Any

import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.figure import Figure, SubFigure
from matplotlib.text import Text
from matplotlib.transforms import Bbox, IdentityTransform
from numpy.typing import NDArray

MARGIN = 4
KEPT = 200
"""How many texts one place remembers; a slider comes back to most of its numbers."""
SHEET_INCHES = 9.0, 1.5
ACROSS = {"left": 0.0, "center": 0.5, "right": 1.0}
UP = {"bottom": 0.0, "baseline": 0.0, "center": 0.5, "top": 1.0}


class Words(Artist):
    """Text at a place in an axes' own coordinates, with the look of a matplotlib text."""

    def __init__(self, axes: Axes, x: float, y: float, text: str, **look: Any) -> None:
        super().__init__()
        self.x, self.y = x, y
        self.across = look.pop("ha", "left")
        self.up = look.pop("va", "center")
        self.zorder = look.pop("zorder", 3.0)
        lines = {"ha": "left", "va": "bottom", "multialignment": self.across}
        self._type = Text(0.0, 0.0, text, **lines, **look)
        self._type.set_transform(IdentityTransform())
        self._kept: dict[tuple[str, float], NDArray[np.uint8]] = {}
        self._to_pixels = axes.transData
        self._type.set_figure(axes.figure)
        axes.add_artist(self)

    def get_text(self) -> str:
        """Return the text."""
        return str(self._type.get_text())

    def set_text(self, text: str) -> None:
        """Change the text."""
        self._type.set_text(text)

    def set_position(self, place: tuple[float, float]) -> None:
        """Move the text."""
        self.x, self.y = place

    def get_position(self) -> tuple[float, float]:
        """Return where the text stands."""
        return self.x, self.y

    def set_x(self, x: float) -> None:
        """Move the text sideways."""
        self.x = x

    @property
    def letters(self) -> tuple[float, str]:
        """The size of its letters in points, and their weight."""
        return float(self._type.get_fontsize()), str(self._type.get_fontweight())

    def set_ha(self, across: str) -> None:
        """Let the text stand left of, on, or right of its place."""
        self.across = across

    def stand_beside(self, x: float, y: float, aside: float, *, right: bool) -> None:
        """Move the text beside a place, to the right or to the left of it."""
        self.set_ha("left" if right else "right")
        self.set_position((x + aside if right else x - aside, y))

    def draw(self, renderer: Any) -> None:
        """Put the kept picture of the text at its place; set type first if the text is new."""
        text = self.get_text()
        if not text or not self.get_visible():
            return
        pixels = self._picture(text, renderer.dpi)
        left, bottom = self._corner(pixels)
        renderer.draw_image(renderer.new_gc(), left, bottom, pixels)

    def get_window_extent(self, renderer: Any = None) -> Bbox:
        """Return where the text lies, in pixels of the figure."""
        dots_per_inch = self._type.figure.dpi if renderer is None else renderer.dpi
        pixels = self._picture(self.get_text(), dots_per_inch)
        left, bottom = self._corner(pixels)
        height, width = (side - 2 * MARGIN for side in pixels.shape[:2])
        return Bbox.from_bounds(left + MARGIN, bottom + MARGIN, width, height)

    def _picture(self, text: str, dots_per_inch: float) -> NDArray[np.uint8]:
        """Return the kept picture of a text; set type first if it is new."""
        pixels = self._kept.get((text, dots_per_inch))
        if pixels is None:
            if len(self._kept) >= KEPT:
                self._kept.clear()
            pixels = self._kept[text, dots_per_inch] = self._set_type(dots_per_inch)
        return pixels

    def _corner(self, pixels: NDArray[np.uint8]) -> tuple[int, int]:
        """Return where the lower left corner of a text's picture belongs."""
        x, y = self._to_pixels.transform((self.x, self.y))
        height, width = pixels.shape[:2]
        left = round(x - MARGIN - ACROSS[self.across] * (width - 2 * MARGIN))
        return left, round(y - MARGIN - UP[self.up] * (height - 2 * MARGIN))

    def _set_type(self, dots_per_inch: float) -> NDArray[np.uint8]:
        sheet = _sheet(dots_per_inch)
        sheet.clear()
        box = self._type.get_window_extent(sheet)
        self._type.set_position((MARGIN - box.x0, MARGIN - box.y0))
        self._type.draw(sheet)
        self._type.set_position((0.0, 0.0))
        width, height = (math.ceil(side) + 2 * MARGIN for side in (box.width, box.height))
        # The sheet's rows run from the top down; the picture wants them from the bottom up.
        return np.flipud(np.asarray(sheet.buffer_rgba())[-height:, :width]).copy()


@lru_cache(maxsize=4)
def _sheet(dots_per_inch: float) -> RendererAgg:
    """Return the sheet on which type is set: one, so that the layout is worked out once."""
    width, height = SHEET_INCHES
    return RendererAgg(width * dots_per_inch, height * dots_per_inch, dots_per_inch)


class Kept(Artist):
    """The lowest of a picture's moving artists: kept as a bitmap as long as its `key` is the same.

    For parts that follow some controls and not the one that moves most, such as time.
    """

    def __init__(self, figure: Figure | SubFigure, artists: Sequence[Artist]) -> None:
        super().__init__()
        self._whole = figure.bbox
        self.artists = artists
        self.key: Hashable = None
        self._drawn: Hashable = None
        self._pixels: Any = None

    def set_animated(self, b: bool) -> None:
        """Leave the group out of the still parts."""
        super().set_animated(b)
        for artist in self.artists:
            artist.set_animated(b)

    def draw(self, renderer: Any) -> None:
        """Draw the group, or put back the bitmap of it; what lies under it is part of that."""
        if self._pixels is not None and self.key == self._drawn:
            renderer.restore_region(self._pixels)
            return
        for artist in self.artists:
            artist.draw(renderer)
        self._pixels = renderer.copy_from_bbox(self._whole)
        self._drawn = self.key
