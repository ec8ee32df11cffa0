"""One learner's exercise: its numbers picked by a seed, and a verdict on what is answered."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

from aqualib.lesson.asking.bank import Exercise, Span
from aqualib.lesson.asking.sums import parsed, worked_out
from aqualib.lesson.asking.typed import NotReadError, WrongUnitError, read
from aqualib.units import Q, shown

RIGHT, MISTAKE, WRONG, UNIT, ODD = "right", "mistake", "wrong", "wrong unit", "odd"
HAIR = 1e-12
MOST_DRAWS = 50


@dataclass(frozen=True)
class Verdict:
    """What is said of an answer."""

    found: str
    """right, mistake, wrong, wrong unit, odd"""
    words: str


@dataclass(frozen=True)
class Task:
    """An exercise with its numbers."""

    exercise: Exercise
    seed: int

    @cached_property
    def values(self) -> dict[str, Any]:
        """The numbers as amounts, by their names: the first draw in which no two answers meet."""
        for draw in range(MOST_DRAWS):
            values = self._drawn(draw)
            if self.exercise.kind != "number" or self._apart(values):
                return values
        message = f"{self.exercise.id}: no numbers were found that keep its answers apart"
        raise ValueError(message)

    @cached_property
    def answer(self) -> float:
        """The right answer, a plain number in the exercise's unit."""
        return self._right(self.values)

    @cached_property
    def mistakes(self) -> list[tuple[float, str]]:
        """The known wrong answers with what to say of each."""
        wrong = self._wrong(self.values, self.answer)
        words = (self._told(mistake.words) for mistake in self.exercise.mistakes)
        return list(zip(wrong, words, strict=True))

    @property
    def prompt(self) -> str:
        """The question with its numbers, in the unit set in force."""
        return self._told(self.exercise.prompt)

    @property
    def hints(self) -> list[str]:
        """The hints in their order; the last one gives the answer away."""
        told = [self._told(hint) for hint in self.exercise.hints]
        if self.exercise.kind != "number":
            return told
        return [*told, f"The answer is {shown(self.answer, self._unit)}."]

    def judged(self, given: object) -> Verdict:
        """Return a verdict on an answer, always in words."""
        try:
            mine = read(given, self._unit)
        except WrongUnitError as refused:
            return Verdict(UNIT, str(refused))
        except NotReadError as refused:
            return Verdict(ODD, str(refused))
        if self._meets(mine, self.answer):
            words = f"Yes: {shown(self.answer, self._unit)}. {self._told(self.exercise.why)}"
            return Verdict(RIGHT, words.strip())
        as_read = f"Read as {shown(mine, self._unit)}."
        for wrong, words in self.mistakes:
            if self._meets(mine, wrong):
                return Verdict(MISTAKE, f"{as_read} Not yet. {words}")
        size = "too large" if mine > self.answer else "too small"
        return Verdict(WRONG, f"{as_read} Not yet: that is {size}.")

    @property
    def _unit(self) -> str:
        return self.exercise.unit

    def _meets(self, mine: float, value: float) -> bool:
        # A slip in the unit of an answer near zero must not count as right.
        return abs(mine - value) <= max(self.exercise.tolerance * abs(value), HAIR)

    def _drawn(self, draw: int) -> dict[str, Any]:
        """Return the numbers of one draw; learners with other seeds have others."""
        found: dict[str, Any] = {}
        for name, span in self.exercise.numbers.items():
            name_of_draw = f"{self.exercise.id} {name} {draw}"
            value = span.at(picked(self.seed, name_of_draw, span.steps + 1))
            found[name] = Q(value, span.unit) if span.unit else value
        return found

    def _apart(self, values: dict[str, Any]) -> bool:
        """Return whether no known mistake could be taken for the right answer, or for another."""
        right = self._right(values)
        answers = sorted([right, *self._wrong(values, right)])
        room = 2.5 * self.exercise.tolerance
        return all(b - a > room * max(abs(a), abs(b)) for a, b in pairwise(answers))

    def _right(self, values: dict[str, Any]) -> float:
        return self._sum(self.exercise.answer, values)

    def _wrong(self, values: dict[str, Any], right: float) -> list[float]:
        given = {**values, "answer": Q(right, self._unit) if self._unit else right}
        return [self._sum(mistake.answer, given) for mistake in self.exercise.mistakes]

    def _sum(self, text: str, values: dict[str, Any]) -> float:
        return worked_out(parsed(text, frozenset(values)), values, self._unit)

    def _told(self, words: str) -> str:
        """Return words with the numbers put in."""
        if "{" not in words:
            return words
        put = {name: _shown(self.values[name], span) for name, span in self._spans()}
        if "{answer}" in words:
            put["answer"] = shown(self.answer, self._unit)
        return words.format(**put)

    def _spans(self) -> list[tuple[str, Span]]:
        return list(self.exercise.numbers.items())


def picked(seed: int, name: str, count: int) -> int:
    """Return a whole number below `count`: the same on every computer, others for other seeds."""
    digest = hashlib.sha256(f"{seed} {name}".encode()).digest()
    return int.from_bytes(digest[:8], "big") % count


def _shown(value: Any, span: Span) -> str:
    """Return a number with its unit; a plain one with the decimals of its steps, such as 1.020."""
    if span.unit:
        return shown(float(value.m), span.unit)
    decimals = len(f"{span.step:g}".partition(".")[2])
    return f"{float(value):.{decimals}f}"
