"""One assignment as a notebook of nbgrader: the lecturer's copy, and the learner's made from it.

The lecturer's copy has everything: sums, hidden tests, rubric and model answer. nbgrader takes out
what stands between its marks; `for_learners` does the same, so that the learner's copy can be
looked at, and tested, where no nbgrader is.
"""

from __future__ import annotations

import copy
import re
from typing import Any

from aqualib.lesson.asking.bank import Exercise
from aqualib.lesson.leading.marked_work import MARKS_OF_EXPLANATION, Assignment, marks_of
from aqualib.lesson.leading.model_answers import ModelAnswer

SCHEMA = 3
"""Of nbgrader's own notes on a cell."""
CODE_STUB = "# your lines"
TEXT_STUB = "*Your explanation goes here. Double-click to write.*"
SOLUTION = re.compile(r"^### BEGIN SOLUTION\n.*?^### END SOLUTION$", re.MULTILINE | re.DOTALL)
HIDDEN = re.compile(
    r"\n?^### BEGIN HIDDEN TESTS\n.*?^### END HIDDEN TESTS$", re.MULTILINE | re.DOTALL
)
KERNEL = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
Cell = dict[str, Any]


def for_lecturers(assignment: Assignment, course: str, model: ModelAnswer) -> dict[str, Any]:
    """Return an assignment as the lecturer keeps it."""
    cells = [_head(assignment), _number(), _imports(course)]
    for place, exercise in enumerate(assignment.exercises, 1):
        cells += [_title(place, exercise), _question(place, exercise)]
        cells += [_answer(place, exercise), _test(place, exercise)]
    cells += [_explain_question(model), _explain(model)]
    return {"cells": cells, "metadata": dict(KERNEL), "nbformat": 4, "nbformat_minor": 5}


def for_learners(notebook: dict[str, Any]) -> dict[str, Any]:
    """Return a copy without solutions, hidden tests, rubric and model answer."""
    released = copy.deepcopy(notebook)
    for cell in released["cells"]:
        note = cell["metadata"]["nbgrader"]
        cell["source"] = HIDDEN.sub("", SOLUTION.sub(CODE_STUB, cell["source"]))
        if note["solution"] and cell["cell_type"] == "markdown":
            cell["source"] = TEXT_STUB
    return released


def _head(assignment: Assignment) -> Cell:
    lessons = " and ".join(assignment.lessons)
    explained = MARKS_OF_EXPLANATION
    return _markdown(
        "head",
        f"# {assignment.title}\n\n"
        f"Marked work to lessons {lessons}: {assignment.marks} marks, {explained} of them for the "
        "explanation. All tanks here are invented.\n\n"
        "Put the number that your lecturer gave you into the next cell and run it all. The "
        "questions then have numbers of your own. Write your lines below each of them; the last "
        'gives the answer its name, with its unit: `answer_1 = Q(12, "L")`. The locked cell '
        "below tells whether that is an amount of the right kind. Whether it is right you learn "
        "when the work comes back.",
    )


def _number() -> Cell:
    return _code("number", "my_number = 0  # the number that your lecturer gave you", locked=False)


def _imports(course: str) -> Cell:
    return _code(
        "course",
        "from aqualib import filtration, tank, water\n"
        "from aqualib.lesson.leading import given\n"
        "from aqualib.units import Q, set_units, show\n"
        "\n"
        'set_units("metric")\n'
        f"course = {course!r}",
    )


def _title(place: int, exercise: Exercise) -> Cell:
    return _markdown(f"title-{place}", f"## Question {place} ({marks_of(exercise)} marks)")


def _question(place: int, exercise: Exercise) -> Cell:
    names = list(exercise.numbers)
    taken = "; ".join(f'{name} = question_{place}["{name}"]' for name in names)
    asked = f'question_{place} = given("{exercise.id}", course, my_number)'
    return _code(f"question-{place}", f"{asked}\n{taken}\nprint(question_{place})")


def _answer(place: int, exercise: Exercise) -> Cell:
    # A share is asked for in percent, and sums give it as a part of one.
    share = f"({exercise.answer}) * 100.0" if exercise.unit == "percent" else exercise.answer
    worked = f"float({share})" if exercise.unit == "percent" else share
    source = (
        f"answer_{place} = None\n### BEGIN SOLUTION\nanswer_{place} = {worked}\n### END SOLUTION"
    )
    return _code(f"answer-{place}", source, solution=True, locked=False)


def _test(place: int, exercise: Exercise) -> Cell:
    source = (
        "# Locked. An amount of the right kind (8 percent, not 0.08)? It is marked later.\n"
        f'assert question_{place}.is_answer(answer_{place}), "no amount of the kind asked for"\n'
        "### BEGIN HIDDEN TESTS\n"
        "from aqualib.lesson.leading import is_right\n"
        f'assert is_right("{exercise.id}", course, my_number, answer_{place})\n'
        "### END HIDDEN TESTS"
    )
    return _code(f"test-{place}", source, points=marks_of(exercise))


def _explain_question(model: ModelAnswer) -> Cell:
    return _markdown("explain", f"## Explain ({len(model.rubric)} marks)\n\n{model.question}")


def _explain(model: ModelAnswer) -> Cell:
    rubric = "\n".join(f"1. {line}" for line in model.rubric)
    source = f"**Rubric, one mark each.**\n\n{rubric}\n\n**An answer.** {model.answer}"
    cell = _markdown("explanation", source)
    points = len(model.rubric)
    cell["metadata"] = _note("explanation", solution=True, locked=False, points=points)
    return cell


def _markdown(name: str, source: str) -> Cell:
    return {
        "cell_type": "markdown",
        "id": name,
        "metadata": _note(name, solution=False, locked=True),
        "source": source,
    }


def _code(
    name: str, source: str, *, solution: bool = False, locked: bool = True, points: int = 0
) -> Cell:
    return {
        "cell_type": "code",
        "id": name,
        "metadata": _note(name, solution=solution, locked=locked, points=points),
        "source": source,
        "execution_count": None,
        "outputs": [],
    }


def _note(name: str, *, solution: bool, locked: bool, points: int = 0) -> dict[str, Any]:
    """Return what nbgrader keeps about a cell."""
    note: dict[str, Any] = {
        "schema_version": SCHEMA,
        "grade_id": name,
        "grade": points > 0,
        "solution": solution,
        "locked": locked,
        "task": False,
    }
    return {"nbgrader": {**note, **({"points": points} if points else {})}}
