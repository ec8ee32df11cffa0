"""The exercises as they stand in `data/exercises.json`: read, and refused where they are not right.

One list a lesson. `numbers` gives each name its low and high end, its step and its unit; the
learner's seed picks one of the steps. Answer and mistakes are sums (see `sums.py`), and so is what
is `told`: numbers that a hint gives, so that nobody needs code to go on.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from string import Formatter
from typing import Any

from aqualib.files import data_file
from aqualib.lesson.asking.sums import parsed
from aqualib.units import registry
from aqualib.validity import ValidityError, quoted

FILE = "exercises.json"
LEVELS = (1, 2, 3)
STEPS = {1: "one step", 2: "two steps", 3: "three steps"}
KINDS = ("number", "words", "model")
TASKS = {"words": "explain", "model": "build"}
OF_THE_UNIT_SET = frozenset({"litre"})
"""A name that every sum and sentence has: one litre, or one gallon of the unit set in force."""
ID = re.compile(r"\d\d-[a-z][a-z-]*")
FIELDS = {
    "number": ({"id", "level", "prompt", "answer", "unit", "hints"},
               {"numbers", "tolerance", "mistakes", "why", "told"}),
    "words": ({"id", "level", "kind", "prompt", "rubric"}, {"numbers"}),
    "model": ({"id", "level", "kind", "prompt", "model", "hints"}, {"numbers", "data"}),
}  # fmt: skip
"""What an exercise of each kind must have, and what it may have."""
USUAL_TOLERANCE = 0.02


@dataclass(frozen=True)
class Span:
    """The numbers that one name in an exercise may stand for."""

    low: float
    high: float
    step: float
    unit: str

    @property
    def steps(self) -> int:
        """How many steps fit between the ends."""
        return round((self.high - self.low) / self.step)

    def at(self, step: int) -> float:
        """Return the number at a step, without the dust of binary sums."""
        return round(self.low + step * self.step, 9)


@dataclass(frozen=True)
class Mistake:
    """A wrong answer that is known, and what to say of it."""

    answer: str
    words: str


@dataclass(frozen=True)
class Told:
    """A number that words may tell, worked out by a sum from the exercise's own."""

    sum: str
    unit: str


@dataclass(frozen=True)
class Exercise:
    """One exercise before its numbers are picked."""

    id: str
    level: int
    kind: str
    prompt: str
    numbers: Mapping[str, Span]
    answer: str = ""
    unit: str = ""
    tolerance: float = USUAL_TOLERANCE
    hints: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    told: Mapping[str, Told] = field(default_factory=dict)
    why: str = ""
    rubric: tuple[str, ...] = ()
    model: str = ""
    data: Mapping[str, Any] = field(default_factory=dict)
    """What a model is tried on, where that is no function of ours."""

    @property
    def lesson(self) -> str:
        """The number of its lesson, such as "05"."""
        return self.id[:2]

    @property
    def level_words(self) -> str:
        """What its level asks for: steps, an explanation, a model."""
        return TASKS.get(self.kind) or STEPS[self.level]


@lru_cache(maxsize=1)
def all_exercises() -> dict[str, tuple[Exercise, ...]]:
    """Return the exercises of each lesson, by its number."""
    rows = json.loads(data_file(FILE).read_text(encoding="utf-8"))
    rows.pop("about", None)
    return {lesson: tuple(_read(lesson, row) for row in rows[lesson]) for lesson in rows}


def exercises_of(lesson: str) -> tuple[Exercise, ...]:
    """Return the exercises of one lesson."""
    known = all_exercises()
    if lesson not in list(known):
        raise ValidityError("lesson", quoted(lesson), " or ".join(known), "", "has no exercises")
    return known[lesson]


def _read(lesson: str, row: dict[str, Any]) -> Exercise:
    kind = row.get("kind", "number")
    if kind not in KINDS or not ID.fullmatch(str(row.get("id"))) or row["id"][:2] != lesson:
        raise _refused(row, "its id or its kind")
    needed, optional = FIELDS[kind]
    if not needed <= set(row) <= needed | optional:
        raise _refused(row, f"its fields: {sorted(set(row) ^ needed)}")
    if row["level"] not in LEVELS:
        raise _refused(row, "its level")
    numbers = {name: _span(row, name, ends) for name, ends in row.get("numbers", {}).items()}
    mistakes = tuple(Mistake(*pair) for pair in row.get("mistakes", []))
    found = Exercise(
        id=row["id"],
        level=row["level"],
        kind=kind,
        prompt=row["prompt"],
        numbers=numbers,
        answer=row.get("answer", ""),
        unit=row.get("unit", ""),
        tolerance=row.get("tolerance", USUAL_TOLERANCE),
        hints=tuple(row.get("hints", ())),
        mistakes=mistakes,
        told={name: Told(*each) for name, each in row.get("told", {}).items()},
        why=row.get("why", ""),
        rubric=tuple(row.get("rubric", ())),
        model=row.get("model", ""),
        data=row.get("data", {}),
    )
    _check(found, row)
    return found


def _span(row: dict[str, Any], name: str, ends: Any) -> Span:
    try:
        span = Span(*ends)
        registry.Unit(span.unit)
        right = span.low < span.high and span.step > 0
    except Exception:  # noqa: BLE001 - whatever stands there, it is refused in words
        right = False
    if not right:
        raise _refused(row, f"the ends of {name}")
    return span


def _check(found: Exercise, row: dict[str, Any]) -> None:
    """Refuse an exercise whose words or sums ask for what is not there."""
    names = set(found.numbers)
    for words in (found.prompt, found.why, *found.hints, *(m.words for m in found.mistakes)):
        used = {name for _, name, _, _ in Formatter().parse(words) if name is not None}
        if not used <= names | set(found.told) | {"answer"} | OF_THE_UNIT_SET:
            raise _refused(row, f"the names in {words[:40]!r}")
    if found.kind == "number":
        registry.Unit(found.unit)
        told = [each.sum for each in found.told.values()]
        for text in (found.answer, *told, *(mistake.answer for mistake in found.mistakes)):
            parsed(text, frozenset(names | {"answer"} | OF_THE_UNIT_SET))


def _refused(row: dict[str, Any], what: str) -> ValidityError:
    valid = "see aqualib/lesson/asking/bank.py"
    return ValidityError(f"data/{FILE}, {row.get('id')}", what, valid, "", "is not right")
