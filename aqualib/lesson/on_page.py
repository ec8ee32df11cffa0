"""A panel on the page: what is sent there, and how it is let go again."""

from __future__ import annotations

import base64
from collections.abc import Callable
from pathlib import Path
from typing import Any
from weakref import WeakMethod

import anywidget
from traitlets import Bool, Bytes, Dict, Int, List, Unicode

from aqualib.lesson.drawing.picture import Picture, small_png
from aqualib.lesson.shared_code import page_code

HERE = Path(__file__).parent
WIDTHS, RATIOS = (50.0, 10_000.0), (0.25, 8.0)
"""Of a picture in the page, in the page's pixels, and of the screen's pixels to those."""
MOST_TURNS = 2**53
"""The page counts its questions; beyond this its numbers are no longer whole."""
IN_SIGHT = 4
"""How many controls stand open; the rest are folded under one heading."""


class PanelView(anywidget.AnyWidget):
    """What the page shows; it knows nothing of the lesson and does not keep its panel alive."""

    _esm = page_code(HERE / "panel.js")
    _css = (HERE / "panel.css").read_text(encoding="utf-8")
    title = Unicode().tag(sync=True)
    controls: List[Any] = List().tag(sync=True)
    readings = Dict().tag(sync=True)
    in_sight = Int(IN_SIGHT).tag(sync=True)
    units = Unicode().tag(sync=True)
    tank = Unicode().tag(sync=True)
    large = Bool(default_value=False).tag(sync=True)
    png = Bytes().tag(sync=True)
    width = Int().tag(sync=True)
    height = Int().tag(sync=True)
    sentence = Unicode().tag(sync=True)
    answer: List[Any] = List().tag(sync=True)
    error = Unicode().tag(sync=True)
    refused = Dict().tag(sync=True)
    note = Unicode().tag(sync=True)
    rough = Bool(default_value=False).tag(sync=True)
    done = Int().tag(sync=True)

    def open(self) -> None:
        """Wait: a page hears of a panel when a cell shows it, not when it is made."""

    def show(self) -> None:
        """Tell the pages of this view; from now on ipywidgets keeps it until it is closed."""
        if self.trait_has_value("layout"):
            self.layout.open()
        super().open()

    def answered(self, turn: Any) -> None:
        """Tell the page that its question of this number is answered."""
        if isinstance(turn, int) and abs(turn) <= MOST_TURNS:
            self.done = int(turn)

    def bundle(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """Return what a notebook keeps of it.

        A viewer without a kernel shows the still picture; nbval compares the sentence.
        """
        bundle = {
            "application/vnd.jupyter.widget-view+json": self.get_view_spec(),
            "image/png": base64.b64encode(small_png(self.png)).decode("ascii"),
            "text/plain": f"[{self.title}] {self.sentence}",
        }
        return bundle, {"image/png": {"alt": self.sentence, "width": self.width}}

    def close(self) -> None:
        """Take it off every page, with the layout that ipywidgets gave it."""
        super().close()
        if self.trait_has_value("layout"):
            self.layout.close()


def let_go(view: PanelView, picture: Picture[Any]) -> None:
    """Take a panel's view off the pages and free the pixels of its picture."""
    view.close()
    picture.release()


def weakly(method: Callable[..., None]) -> Callable[..., None]:
    """Return a stand-in for a bound method that does not keep its owner alive."""
    reference = WeakMethod(method)

    def stand_in(*args: Any) -> None:
        bound = reference()
        if bound is not None:
            bound(*args)

    return stand_in


def is_size(value: Any, ends: tuple[float, float]) -> bool:
    """Return whether the page sent a number within sensible ends."""
    return isinstance(value, int | float) and ends[0] <= value <= ends[1]
