"""Marked work of a module: which exercises, which explanation, and the numbers of one learner.

The numbers of an exercise are drawn from the word of the course and the learner's own number, so
neighbours have others, and so has next year.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from aqualib.files import data_file
from aqualib.lesson.asking.bank import Exercise, exercises_of
from aqualib.lesson.asking.task import ODD, RIGHT, UNIT, Task
from aqualib.lesson.asking.typed import NotReadError, bare_number
from aqualib.units import label, show
from aqualib.validity import ValidityError, quoted

FILE = "marked_work.json"
MARKS_OF_LEVEL = {1: 2, 2: 4}
"""An exercise of one step, of two steps."""
MARKS_OF_EXPLANATION = 5
"""One for each line of its rubric; see `model_answers.py`."""


@dataclass(frozen=True)
class Assignment:
    """Marked work of two lessons."""

    name: str
    title: str
    lessons: tuple[str, ...]
    exercises: tuple[Exercise, ...]
    question: str
    """The explanation that a person marks."""

    @property
    def marks(self) -> int:
        """All marks that can be had."""
        return sum(map(marks_of, self.exercises)) + MARKS_OF_EXPLANATION


class Given:
    """An exercise with a learner's own numbers; `given["v"]` is the amount called v."""

    def __init__(self, task: Task) -> None:
        """Keep the exercise; what is right stays in the package."""
        self._task = task

    def __getitem__(self, name: str) -> Any:
        return self._task.values[name]

    def __repr__(self) -> str:
        unit = self._task.exercise.unit
        values = "; ".join(f"{name} = {_shown(value)}" for name, value in self._task.values.items())
        wanted = f" Answer in {label(unit)}." if unit else ""
        return f"{self._task.prompt}{wanted}\n{values}"

    def is_answer(self, answer: object) -> bool:
        """Return whether something is an amount of the kind that is asked for, right or wrong.

        Where per cent are asked for, a bare part of one is not: nobody can tell which was meant.
        """
        if self._task.exercise.unit == "percent" and _is_part_of_one(answer):
            return False
        return self._task.judged(answer).found not in {ODD, UNIT}


def _is_part_of_one(answer: object) -> bool:
    try:
        bare = bare_number(answer)
    except NotReadError:
        return False
    return bare is not None and abs(bare) < 1.0


def marks_of(exercise: Exercise) -> int:
    """Return the marks of an exercise, by its steps."""
    return MARKS_OF_LEVEL[exercise.level]


@lru_cache(maxsize=1)
def assignments() -> tuple[Assignment, ...]:
    """Return the marked work in the order of the module."""
    rows = json.loads(data_file(FILE).read_text(encoding="utf-8"))["assignments"]
    return tuple(_read(row) for row in rows)


def given(exercise: str, course: str, learner: int) -> Given:
    """Return an exercise with the numbers of one learner in one course."""
    return Given(Task(exercise_of(exercise), seed_of(course, learner)))


def is_right(exercise: str, course: str, learner: int, answer: object) -> bool:
    """Return whether an answer is right for this learner: what the hidden tests ask."""
    task = Task(exercise_of(exercise), seed_of(course, learner))
    return task.judged(answer).found == RIGHT


def exercise_of(name: str) -> Exercise:
    """Return the exercise of that name, such as "02-ammonia"."""
    for exercise in exercises_of(name[:2]):
        if exercise.id == name:
            return exercise
    raise ValidityError("exercise", quoted(name), "a name in data/exercises.json", "", "is none")


def seed_of(course: str, learner: int) -> int:
    """Return the seed of a learner: far from the small ones with which lessons are practised."""
    if isinstance(learner, bool) or not isinstance(learner, int):
        raise ValidityError("learner", quoted(learner), "a whole number", "", "is no number")
    digest = hashlib.sha256(f"{course} {learner}".encode()).digest()
    return int.from_bytes(digest[:6], "big")


def _read(row: dict[str, Any]) -> Assignment:
    return Assignment(
        name=row["name"],
        title=row["title"],
        lessons=tuple(row["lessons"]),
        exercises=tuple(exercise_of(name) for name in row["numbers"]),
        question=row["question"],
    )


def _shown(value: Any) -> str:
    return f"{value:g}" if isinstance(value, int | float) else show(value)
