"""What came in the box: each piece as a keeper observed it, and what to do with it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from aqualib.lesson.asking.by_rule import asked_again, read_by_rule, shown_by_rule
from aqualib.lesson.asking.on_page import Asked, Item
from aqualib.lesson.asking.typed import NotReadError, wanted
from aqualib.lesson.whose_tank import MINE, system_in_use, whose_tank
from aqualib.tank.inspection import Piece, as_bought, judge
from aqualib.tank.plan import System
from aqualib.tank.plan.system import LONGEST_NAME, one_line
from aqualib.units import unit_set
from aqualib.validity import OneOf, Range, ValidityError, quoted

MOST = 6
"""Pieces that the page asks for; more are judged from code."""
JUDGE = "Judge the box"
ASKED = {
    "name": "What you call it",
    "looks": "What it looks like",
    "tray": "Its tray (the water comes to 1 first)",
    "thickness": "Thickness, of a pad",
    "squeeze": "Squeezed in water, it",
    "flour": "Flour that stays in it",
    "semolina": "Semolina that stays in it",
    "poppy": "Poppy seeds that stay in it",
    "dry": "All of it, dry",
    "litres": "All of it, in the jug",
    "size": "Width of one piece",
    "handful": "A handful, dry",
    "saturated": "The handful, soaked and wiped",
    "suspended": "The handful, hung in water",
    "cloth": "Grains on a wet white cloth leave",
    "meant_for": "Pale grains: the bag says they take",
    "vinegar": "In vinegar",
}
"""A field of `Piece` -> what is asked."""


class BoxForm(Asked):
    """Boxes for up to six pieces; what was not measured stays open.

    `form.answer("2 looks", "rings")` and the box in the page do the same.
    """

    def __init__(
        self, pieces: Iterable[Piece] = (), system: Callable[[], System] | None = None
    ) -> None:
        """Open the form on some pieces, to be judged in the system in use."""
        super().__init__("The pieces in the box")
        self.system = system_of_box if system is None else system
        self.values: dict[str, Any] = {}
        self.typed: dict[str, str] = {}
        self.odd: dict[str, str] = {}
        self.verdicts: dict[int, str] = {}
        for number, piece in enumerate(pieces, start=1):
            self._put(number, piece)
        unit_set.follow(self.show)

    def answer(self, field: str, given: object) -> str:
        """Take an answer, "" to leave the field open, and say in words what was kept."""
        if field not in fields():
            valid = ", ".join(list(fields())[:3]) + ", …"
            raise ValidityError("field", quoted(field), valid, "", "is none of the form")
        self.typed[field] = str(given)[:200]
        self.values.pop(field, None)
        self.odd.pop(field, None)
        self.verdicts.pop(_number_of(field), None)
        if self.typed[field].strip():
            try:
                rule = fields()[field][1]
                self.values[field] = read_by_rule(rule, given) if rule else _name_of(given)
            except (NotReadError, ValidityError) as refused:
                self.odd[field] = asked_again(refused)
        self.show()
        if field not in self.values:
            return self.odd.get(field, "Left open.")
        return f"Kept: {shown_by_rule(fields()[field][1], self.values[field])}."

    def judge(self) -> str:
        """Judge every piece of which something was told, in words."""
        self.verdicts = {n: self._verdict(n) for n in range(1, MOST + 1) if self._told(n)}
        self.told = "" if self.verdicts else "Nothing was told yet: say what a piece looks like."
        self.show()
        return "\n".join(self.verdicts.values()) or self.told

    def items(self) -> list[Item]:
        """Return every field, folded by pieces, and under them what was judged."""
        asked = [self._item(field) for field in fields()]
        judged = [
            Item(name=f"verdict {n}", kind="told", label=self._name(n), said=words)
            for n, words in self.verdicts.items()
        ]
        return [*asked, *judged]

    def actions(self) -> list[str]:
        """Return the one button."""
        return [JUDGE]

    def take(self, name: str, what: str, value: object) -> None:
        """Take what the page sends."""
        if what == JUDGE:
            self.judge()
        elif what == "answer" and name in fields():
            self.answer(name, value)

    def text(self) -> str:
        """Return what was told, a line a piece, and what was judged."""
        told = [f"{n} {self._name(n)}" for n in range(1, MOST + 1) if self._told(n)]
        return "\n".join([f"{self.name}: {', '.join(told) or 'none yet'}", *self.verdicts.values()])

    def _put(self, number: int, piece: Piece) -> None:
        for key in ASKED:
            value = getattr(piece, key)
            if value is not None and number <= MOST:
                field = f"{number} {key}"
                self.values[field] = value
                self.typed[field] = shown_by_rule(fields()[field][1], value)

    def _told(self, number: int) -> dict[str, Any]:
        start = f"{number} "
        return {f.removeprefix(start): v for f, v in self.values.items() if f.startswith(start)}

    def _name(self, number: int) -> str:
        return str(self.values.get(f"{number} name", f"piece {number}"))

    def _verdict(self, number: int) -> str:
        told = self._told(number)
        if unread := [ASKED[f.partition(" ")[2]] for f in self.odd if _number_of(f) == number]:
            return f"Not judged yet, for this was not read: {'; '.join(unread)}."
        if "looks" not in told:
            return "Not judged yet: choose what it looks like."
        try:
            return str(judge(Piece(**{"name": self._name(number), **told}), self.system()))
        except ValidityError as refused:
            return f"Not judged yet. {asked_again(refused)}"

    def _item(self, field: str) -> Item:
        words, rule = fields()[field]
        number = _number_of(field)
        return Item(
            name=field,
            kind="choice" if isinstance(rule, OneOf) else "number" if rule else "line",
            label=words,
            unit=wanted(rule.unit) if isinstance(rule, Range) else "",
            given=self.typed.get(field, ""),
            choices=list(rule.words) if isinstance(rule, OneOf) else [],
            state="odd" if field in self.odd else "",
            said=self.odd.get(field, ""),
            button="",
            group=f"Piece {number}",
        )


def judge_the_box(*pieces: Piece) -> BoxForm:
    """Show a form of the pieces in a box, opened on these, with what to do with each."""
    form = BoxForm(pieces)
    form.judge()
    return form


def system_of_box() -> System:
    """Return the keeper's own system where that is in use, else the invented one as bought."""
    own = system_in_use()
    return own if whose_tank.value == MINE else as_bought()


def fields() -> dict[str, tuple[str, Any]]:
    """Return every field of the form -> what is asked, and its rule."""
    return _FIELDS


def _name_of(given: object) -> str:
    return one_line("name", str(given), LONGEST_NAME, 1)


def _number_of(field: str) -> int:
    return int(field.partition(" ")[0])


def _all_fields() -> dict[str, tuple[str, Any]]:
    rules = Piece.rules()
    return {
        f"{number} {key}": (words, rules.get(key))
        for number in range(1, MOST + 1)
        for key, words in ASKED.items()
    }


_FIELDS = _all_fields()
