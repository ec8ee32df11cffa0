"""A sum of a lesson with boxes in the page, so that nobody needs code to put in their own numbers.

The function that works it out stays in the lesson, where students read it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from aqualib.lesson.asking.on_page import Asked, Item
from aqualib.lesson.asking.typed import NotReadError, read, wanted
from aqualib.units import Q, metric_unit_of, registry, shown, unit_set
from aqualib.validity import OneOf, ValidityError, quoted

SAYS = "says"
FIRST_YEAR, LAST_YEAR = 1900, 2999


@dataclass(frozen=True)
class Box:
    """One box: what is asked, what it holds at first, and its choices if there are any."""

    label: str
    start: Any
    """An amount with its unit, a plain number, a day, or one of the choices."""
    choices: tuple[str, ...] = ()

    @property
    def unit(self) -> str:
        """The metric unit of its amount, "" if it has none."""
        return metric_unit_of(self.start) if isinstance(self.start, registry.Quantity) else ""

    def read(self, given: object) -> Any:
        """Return what was given as a value of the box's kind, or raise in words."""
        if self.choices:
            if given not in self.choices:
                raise NotReadError(f"Choose {OneOf(self.choices).text}.")
            return given
        if isinstance(self.start, date):
            return _day(given, self.start)
        number = read(given, self.unit)
        return Q(number, self.unit) if self.unit else number

    def text(self, value: Any) -> str:
        """Return a value as it stands in the box."""
        if isinstance(value, registry.Quantity):
            return shown(float(value.m_as(self.unit)), self.unit).partition(" (")[0]
        return f"{value:g}" if isinstance(value, int | float) else str(value)


class SumWithBoxes(Asked):
    """Boxes, and below them what their numbers come to."""

    def __init__(self, name: str, tell: Callable[..., str], boxes: dict[str, Box]) -> None:
        super().__init__(name)
        self.tell = tell
        self.boxes = boxes
        self.values = {name: box.start for name, box in boxes.items()}
        self.typed: dict[str, str] = {}
        self.trouble: dict[str, str] = {}
        self._kept = ("", "")
        """What the sum was worked out for, and its text: the page asks for it more than once."""
        unit_set.follow(self.show)

    def set(self, **given: object) -> str:
        """Put values into boxes, as the page does, and return what is said."""
        for name, value in given.items():
            if name not in self.boxes:
                valid = OneOf(tuple(self.boxes)).text
                raise ValidityError("box", quoted(name), valid, "", "is none of the boxes")
            self._put(name, value)
        self.show()
        return self.text()

    def text(self) -> str:
        """Return what the numbers come to; while a box is not read, that and nothing else."""
        if self.trouble:
            named = ", ".join(self.boxes[name].label for name in self.trouble)
            return f"Not worked out yet, for this was not read: {named}."
        now = f"{unit_set.value} {self.values!r}"
        if self._kept[0] != now:
            try:
                self._kept = now, self.tell(**self.values)
            except ValidityError as refused:
                self._kept = now, str(refused)
        return self._kept[1]

    def items(self) -> list[Item]:
        """Return the boxes, and what their numbers come to."""
        boxes = [self._item(name, box) for name, box in self.boxes.items()]
        return [*boxes, Item(name=SAYS, kind="told", label=self.name, said=self.text())]

    def take(self, name: str, what: str, value: object) -> None:
        """Take what was typed or chosen in the page."""
        if what == "answer" and name in self.boxes and isinstance(value, str):
            self._put(name, value)

    def _item(self, name: str, box: Box) -> Item:
        trouble = self.trouble.get(name, "")
        return Item(
            name=name,
            kind="choice" if box.choices else "number",
            label=box.label,
            unit=wanted(box.unit),
            choices=list(box.choices),
            given=self.typed[name] if trouble else box.text(self.values[name]),
            state="odd" if trouble else "",
            said=trouble,
            button="",
        )

    def _put(self, name: str, given: object) -> None:
        self.typed[name] = str(given)[:200]
        try:
            self.values[name] = self.boxes[name].read(given)
            self.trouble.pop(name, None)
        except NotReadError as refused:
            self.trouble[name] = str(refused)


def box(label: str, start: Any, choices: tuple[str, ...] = ()) -> Box:
    """Return a box that holds `start` until somebody writes into it."""
    if choices and start not in choices:
        raise ValidityError("start", quoted(start), OneOf(choices).text, "", "is no choice")
    return Box(label, start, tuple(choices))


def with_boxes(name: str, tell: Callable[..., str], **boxes: Box) -> SumWithBoxes:
    """Show boxes and what `tell` makes of their values: a text, worked out anew each time."""
    return SumWithBoxes(name, tell, boxes)


def _day(given: object, start: date) -> date:
    if isinstance(given, date):
        return given
    try:
        found = date.fromisoformat(str(given).strip())
    except ValueError:
        found = date.min
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise NotReadError(f"Write a day such as {start}: year, month, day.")
    return found
