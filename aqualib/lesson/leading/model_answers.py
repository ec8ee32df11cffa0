"""Rubrics and model answers of the marked explanations, for whoever marks.

They lie with the leaders' pages of the project and in no installed package, so that what a learner
installs does not hold them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from aqualib.files import shipped
from aqualib.lesson.leading.marked_work import MARKS_OF_EXPLANATION, assignments
from aqualib.lesson.serving.shipped import FIRST
from aqualib.validity import ValidityError, quoted

FILE = "leading/answers.json"
VALID = (
    "a file with a rubric of five lines and an answer for each assignment, as "
    f"lessons/{FILE} of the project's folder has them (it is in no installed package)"
)


@dataclass(frozen=True)
class ModelAnswer:
    """What a person marks by, one mark for each line of the rubric."""

    question: str
    rubric: tuple[str, ...]
    answer: str


def model_answers(file: Path | None = None) -> dict[str, ModelAnswer]:
    """Return question, rubric and answer of each assignment, by a lecturer's own file or ours."""
    place = file or shipped("lessons", FIRST) / FILE
    try:
        rows = json.loads(place.read_text(encoding="utf-8"))["assignments"]
        return {each.name: _read(rows[each.name], each.question) for each in assignments()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as problem:
        why = f"cannot be read ({type(problem).__name__})"
        raise ValidityError("answers", quoted(str(place)), VALID, "", why) from None


def _read(row: Mapping[str, object], question: str) -> ModelAnswer:
    rubric, answer = row["rubric"], row["answer"]
    if not isinstance(rubric, list) or len(rubric) != MARKS_OF_EXPLANATION:
        message = f"a rubric has {MARKS_OF_EXPLANATION} lines"
        raise ValueError(message)
    return ModelAnswer(
        str(row.get("question", question)), tuple(str(each) for each in rubric), str(answer)
    )
