"""A guess: one question in the page, answered there or from code, and compared later."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from aqualib.lesson.asking.journal import Journal, journal
from aqualib.lesson.asking.on_page import Asked, Item
from aqualib.lesson.asking.typed import NotReadError, read, wanted
from aqualib.units import Q, registry, shown, unit_set
from aqualib.validity import ValidityError, quoted

KEPT = "Kept: {mine}. Further down it is set beside what we compute."
NOT_YET = "make your guess under Predict, and ours is shown here."


class Guess:
    """What a learner thinks before the lesson says it; `answer` and the box do the same."""

    def __init__(self, label: str, unit: str, choices: tuple[str, ...] = ()) -> None:
        """Ask for an amount in `unit` ("" for a plain number), or for one of the choices."""
        self.label = label
        self.unit = unit
        self.choices = choices
        self.value: float | str | None = None
        self.given = ""
        self.told = ("", "")
        self.journal: Journal | None = None
        self._followers: list[Callable[[], None]] = []
        self._asked: Asked | None = None

    def answer(self, given: object) -> str:
        """Take a guess such as "12 L", "0,5" or Q(3, "gal"), and say in words what was kept."""
        self.given = _as_typed(given)
        try:
            self.value = self._chosen(given) if self.choices else read(given, self.unit)
        except NotReadError as refused:
            self.told = ("odd", str(refused))
        else:
            self.told = ("kept", KEPT.format(mine=self.mine()))
            if self.journal:
                value = self.value
                self.journal.add(what="guess", label=self.label, unit=self.unit, value=value)
        for tell in self._followers:
            tell()
        return self.told[1]

    def keep_in(self, journal: Journal) -> None:
        """Keep guesses in a journal, and begin with the last one: Run All makes a new guess."""
        self.journal = journal
        kept = journal.guess(self.label, self.unit)
        if self.choices and kept in self.choices:
            self.value = kept
        elif not self.choices and isinstance(kept, int | float) and math.isfinite(kept):
            self.value = float(kept)
        if self.value is not None:
            self.given = self.mine()
            self.told = ("kept", KEPT.format(mine=self.given))

    def mine(self) -> str:
        """Return the guess in words, "" if there is none."""
        if isinstance(self.value, float):
            return shown(self.value, self.unit)
        return self.value or ""

    def follow(self, tell: Callable[[], None]) -> None:
        """Call `tell` after each answer."""
        self._followers.append(tell)

    def item(self) -> Item:
        """Return the question as the page shows it."""
        unit = wanted(self.unit)
        return Item(
            name=self.label,
            kind="choice" if self.choices else "number",
            label=self.label,
            unit=unit,
            given=self.given,
            choices=list(self.choices),
            state=self.told[0],
            said=self.told[1],
            button="Keep my guess",
        )

    def line(self) -> str:
        """Return the question and what was answered as one line of text."""
        unit = f" ({wanted(self.unit)})" if self.unit else ""
        return f"{self.label}{unit}: {self.told[1] or 'your guess'}"

    def _chosen(self, given: object) -> str:
        if given not in self.choices or not isinstance(given, str):
            raise NotReadError(f"Choose one of: {', '.join(self.choices)}.")
        return given

    def __repr__(self) -> str:
        return self.line()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        if self._asked is None:
            self._asked = ask(self)
        return self._asked._repr_mimebundle_()


def guess(label: str, unit: str = "", choices: Sequence[str] = ()) -> Guess:
    """Return a question for a number in `unit`, or for one of `choices`, to be compared later."""
    if not label:
        raise ValidityError("label", quoted(label), "words in quotation marks", "", "is no text")
    if unit:
        registry.Unit(unit)
    asked = Guess(label, unit, tuple(choices))
    if kept := journal():
        asked.keep_in(kept)
    return asked


def ask(*guesses: Guess) -> Asked:
    """Return several guesses, to be shown by one cell."""
    return _Boxes(guesses)


class _Boxes(Asked):
    """Guesses in one place of the page."""

    def __init__(self, guesses: tuple[Guess, ...]) -> None:
        super().__init__("Your guess")
        self.guesses = {each.label: each for each in guesses}
        for each in guesses:
            each.follow(self.show)
        unit_set.follow(self.show)

    def items(self) -> list[Item]:
        return [each.item() for each in self.guesses.values()]

    def text(self) -> str:
        return "\n".join(each.line() for each in self.guesses.values())

    def take(self, name: str, what: str, value: object) -> None:
        if what == "answer" and name in self.guesses:
            self.guesses[name].answer(value)


class Beside(Asked):
    """A guess set beside the computed value, as soon as there is a guess."""

    def __init__(self, mine: Guess, what: str, verdict: Callable[[Any], str]) -> None:
        """Follow a guess; `verdict` makes a sentence of what was guessed."""
        super().__init__(what)
        self.mine = mine
        self.what = what
        self.verdict = verdict
        mine.follow(self.show)
        unit_set.follow(self.show)

    def items(self) -> list[Item]:
        """Return the sentence, in which nothing can be typed."""
        return [Item(name=self.what, kind="told", label=self.what, said=self.text())]

    def text(self) -> str:
        """Return the sentence; without a guess it holds nothing of the value."""
        value = self.mine.value
        if value is None:
            return f"{self.what}: {NOT_YET}"
        return self.verdict(Q(value, self.mine.unit) if self.mine.unit else value)


def _as_typed(given: object) -> str:
    if isinstance(given, str):
        return given[:200]
    return f"{given:~}" if isinstance(given, registry.Quantity) else quoted(given)
