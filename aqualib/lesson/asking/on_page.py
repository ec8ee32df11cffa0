"""Questions on the page: what is sent there, and what the learner sends back."""

from __future__ import annotations

import threading
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

import anywidget
from traitlets import Int, List, Unicode

from aqualib.lesson.shared_code import page_code

_one_at_a_time = threading.RLock()
"""JupyterLab lets the page talk to a thread of its own, beside the one that runs the cells."""

HERE = Path(__file__).parent
MOST_TURNS = 2**53
"""The page counts its questions; beyond this its numbers are no longer whole."""


@dataclass(frozen=True)
class Item:
    """One question, or one line that is told, as the page shows it."""

    name: str
    kind: str
    """number, choice, words, model, name, told"""
    label: str = ""
    level: str = ""
    prompt: str = ""
    unit: str = ""
    choices: list[str] = field(default_factory=list)
    given: str = ""
    state: str = ""
    """kept, right, mistake, wrong, odd, or "" while nothing was answered"""
    said: str = ""
    button: str = "Check"
    """What is pressed to answer; where it is "", leaving the box is enough."""
    hints: list[str] = field(default_factory=list)
    more_hints: int = 0
    """How many hints are still to be had."""
    rubric: list[str] = field(default_factory=list)
    marked: list[bool] = field(default_factory=list)
    group: str = ""
    """The heading under which it is folded, if it is."""


class QuestionsView(anywidget.AnyWidget):
    """What the page shows; it knows nothing of the lesson."""

    _esm = page_code(HERE / "questions.js")
    _css = (HERE / "questions.css").read_text(encoding="utf-8")
    name = Unicode().tag(sync=True)
    items: List[Any] = List().tag(sync=True)
    actions: List[Any] = List().tag(sync=True)
    told = Unicode().tag(sync=True)
    link: List[Any] = List().tag(sync=True)
    done = Int().tag(sync=True)


class Asked:
    """Questions in one place of the page; without a page they are lines of text."""

    def __init__(self, name: str) -> None:
        """Name what is asked here, for those who hear the page."""
        self.name = name
        self.told = ""
        self.link: tuple[str, ...] = ()
        """Words, name of a file and address of what the page offers to save."""
        self.view: QuestionsView | None = None

    def items(self) -> list[Item]:
        """Return what the page shows now."""
        raise NotImplementedError

    def text(self) -> str:
        """Return the same as text, which is what stands where no page is."""
        raise NotImplementedError

    def take(self, name: str, what: str, value: object) -> None:
        """Take what the page sends: to question `name`, an answer, a wish for a hint or a mark."""

    def actions(self) -> list[str]:
        """Return what can be done with all of the questions, each a button."""
        return []

    def show(self) -> None:
        """Bring the page up to date."""
        if self.view is not None:
            with self.view.hold_sync():
                self.view.items = [asdict(item) for item in self.items()]
                self.view.told = self.told
                self.view.link = list(self.link)

    def __repr__(self) -> str:
        return self.text()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        if self.view is None:
            self.view = QuestionsView(name=self.name, actions=self.actions())
            self.view.on_msg(self._on_message)
        self.show()
        return {
            "application/vnd.jupyter.widget-view+json": self.view.get_view_spec(),
            "text/plain": self.text(),
        }

    def _on_message(self, view: Any, message: Any, _buffers: Any) -> None:
        """Do what the page asks; `done` tells it that the answer is there."""
        if not isinstance(message, dict):
            return  # not from a page of ours
        name, what = message.get("name"), message.get("do")
        try:
            if isinstance(name, str) and isinstance(what, str):
                with _one_at_a_time:
                    self.take(name, what, message.get("value"))
                    self.show()
        finally:
            turn = message.get("turn")
            if isinstance(turn, int) and abs(turn) <= MOST_TURNS:
                view.done = int(turn)
