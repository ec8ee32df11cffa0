"""One learner's exercise: its numbers picked by a seed, and a verdict on what is answered."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

from aqualib.lesson.asking.bank import Exercise, Span
from aqualib.lesson.asking.sums import parsed, worked_out
from aqualib.lesson.asking.typed import NotReadError, WrongUnitError, bare_number, read, wanted
from aqualib.lesson.asking.unit_slips import unit_meant
from aqualib.units import Q, display_unit, get_units, label, shown

RIGHT, MISTAKE, WRONG, UNIT, ODD = "right", "mistake", "wrong", "wrong unit", "odd"
KEPT = "kept"
"""What is found of an explanation that was written; the learner marks it."""
COUNTED = frozenset({RIGHT, MISTAKE, WRONG, KEPT})
"""What was found of a try. An empty box, or what cannot be read, is none."""
METRIC = " (Hints go by the metric numbers, which stand in brackets.)"
HAIR = 1e-12
MOST_DRAWS = 50
LITRES = {"metric": "litre", "us": "US gallon", "imperial": "imperial gallon"}
"""What stands for {litre} in words."""


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

    @property
    def mistakes(self) -> list[tuple[float, str]]:
        """The known wrong answers with what to say of each, in the unit set in force."""
        system = get_units()
        if system not in self._mistakes:
            wrong = self._wrong(self.values, self.answer, system)
            words = (self._told(mistake.words) for mistake in self.exercise.mistakes)
            self._mistakes[system] = list(zip(wrong, words, strict=True))
        return self._mistakes[system]

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
        told[0] += self._of_the_unit_set()
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
        known = [words for wrong, words in self.mistakes if self._meets(mine, wrong)][:1]
        known += [slip for slip in [self._unit_slip(given)] if slip]
        if known:
            return Verdict(MISTAKE, f"{as_read} Not yet. {' Or: '.join(known)}")
        size = "too large" if mine > self.answer else "too small"
        return Verdict(WRONG, f"{as_read} Not yet: that is {size}.")

    @cached_property
    def _mistakes(self) -> dict[str, list[tuple[float, str]]]:
        return {}

    @property
    def _unit(self) -> str:
        return self.exercise.unit

    def _unit_slip(self, given: object) -> str:
        """Say in which other unit a number without a unit would be right, "" if in none."""
        number = bare_number(given)
        if number is None or not self._unit:
            return ""
        return unit_meant(number, self._unit, lambda value: self._meets(value, self.answer))

    def _of_the_unit_set(self) -> str:
        """Say how a reader of other units than ours goes by a hint; "" where none is needed."""
        units = [span.unit for span in self.exercise.numbers.values()]
        if all(display_unit(unit) == unit for unit in (*units, self._unit) if unit):
            return ""
        metric, mine = label(self._unit), wanted(self._unit)
        if metric == mine:
            return METRIC
        return f"{METRIC} Then write {metric} behind your answer, or turn it into {mine}."

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
        answers = sorted([right, *self._wrong(values, right, "metric")])
        room = 2.5 * self.exercise.tolerance
        return all(b - a > room * max(abs(a), abs(b)) for a, b in pairwise(answers))

    def _right(self, values: dict[str, Any]) -> float:
        return self._sum(self.exercise.answer, values)

    def _wrong(self, values: dict[str, Any], right: float, system: str) -> list[float]:
        given = {
            **values,
            "answer": Q(right, self._unit) if self._unit else right,
            "litre": Q(1.0, display_unit("L", system)),
        }
        return [self._sum(mistake.answer, given) for mistake in self.exercise.mistakes]

    def _sum(self, text: str, values: dict[str, Any], unit: str | None = None) -> float:
        wanted_in = self._unit if unit is None else unit
        return worked_out(parsed(text, frozenset(values)), values, wanted_in)

    def _told(self, words: str) -> str:
        """Return words with the numbers put in."""
        if "{" not in words:
            return words
        put = {name: _shown(self.values[name], span) for name, span in self._spans()}
        put["litre"] = LITRES[get_units()]
        for name, told in self.exercise.told.items():
            if f"{{{name}}}" in words:
                put[name] = shown(self._sum(told.sum, self.values, told.unit), told.unit)
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
