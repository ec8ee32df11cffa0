"""Which pages show which panel: one that no page shows any more is closed, the others stay."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Protocol

from IPython import get_ipython


class Closable(Protocol):
    """What can be taken off every page."""

    def close(self) -> None:
        """Take it off."""


@dataclass
class Places:
    """Where one panel stands."""

    runs: dict[str, str] = field(default_factory=dict)
    """The cells that hold it as their output: cell -> the run that put it there."""
    views: set[tuple[str, str]] = field(default_factory=set)
    """What pages show of it: (page, view). The view is "" until the page has named it."""


class OnShow:
    """The panels that stand in pages, kept for them until no page shows them any more.

    A cell that runs again gives its page a new panel in the place of the old one. Another page of
    the same notebook (a second window on it) still shows the old one, and must keep it.
    """

    def __init__(self) -> None:
        self._places: dict[Closable, Places] = {}

    def put(self, panel: Closable) -> None:
        """Note that the running cell shows `panel`; close what no page shows any more."""
        page, cell, run = _running()
        if not page:
            return  # no page is there to show it
        here = self._places.setdefault(panel, Places())
        here.views.add((page, ""))
        if cell:
            here.runs[cell] = run
        for other, places in list(self._places.items()):
            if places.runs.get(cell, run) != run:
                del places.runs[cell]
                if not places.runs:
                    places.views = {view for view in places.views if view[0] != page}
            # While a cell holds it as its output, a page may show it again: a cell that was cut
            # and is put back, a notebook that was closed and is opened.
            if not places.runs and not places.views:
                other.close()

    def seen(self, panel: Closable, view: str) -> None:
        """Note that the page that speaks now shows `panel` in a view of this name."""
        places, page = self._places.get(panel), _running()[0]
        if places is not None:
            places.views.discard((page, ""))
            places.views.add((page, view))

    def gone(self, panel: Closable, view: str) -> None:
        """Note that the page that speaks now has taken this view of `panel` away.

        Nothing is closed yet: a page that is loaded anew shows its panels again in a moment.
        """
        places = self._places.get(panel)
        if places is not None:
            places.views.discard((_running()[0], view))

    def forget(self, panel: Closable) -> None:
        """Keep `panel` no longer."""
        self._places.pop(panel, None)


def _running() -> tuple[str, str, str]:
    """Return the page that asks, the cell it runs and the run; "" for what is not known.

    Each page talks to the kernel under a name of its own. A page that gives its cells no names is
    known to run a cell again by the text of the cell.
    """
    shell = get_ipython()
    parent: dict[str, Any] = shell.get_parent() if hasattr(shell, "get_parent") else {}
    header, content = parent.get("header", {}), parent.get("content", {})
    cell = parent.get("metadata", {}).get("cellId") or content.get("code", "")
    return header.get("session", ""), cell, header.get("msg_id", "")
