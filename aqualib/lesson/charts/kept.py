"""A group of artists that is drawn again only when what it shows has changed."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from matplotlib.artist import Artist


class Kept(Artist):
    """The lowest of a picture's moving artists: kept as a bitmap as long as its `key` is the same.

    For parts that follow some controls and not the one that moves most, such as time.
    """

    def __init__(self, figure: Any, artists: list[Artist]) -> None:
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
