"""`python -m aqualib module FOLDER`: the marked work of a module as a course of nbgrader."""

from __future__ import annotations

import argparse
import json
import secrets
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from aqualib.lesson.leading.marked_notebook import (
    CODE_STUB,
    TEXT_STUB,
    for_learners,
    for_lecturers,
)
from aqualib.lesson.leading.marked_work import MARKS_OF_EXPLANATION, assignments
from aqualib.lesson.leading.model_answers import ModelAnswer, model_answers
from aqualib.validity import ValidityError, quoted

CONFIGURATION = f"""\
# Read by nbgrader in this folder. What it leaves in the place of a solution:
c = get_config()
c.CourseDirectory.course_id = {{course!r}}
c.ClearSolutions.code_stub = {{{{"python": {CODE_STUB!r}}}}}
c.ClearSolutions.text_stub = {TEXT_STUB!r}
"""
README = """\
# Marked work of the module, course {course}

`source/` is the lecturer's: solutions, hidden tests, rubrics, model answers. Keep it to yourself.
`release/` is what learners get. Give each learner a number, and keep the list on paper or on your
own disk: the numbers in the questions come from it and from the word {course!r}.

With `python -m pip install "aqualib[class]"`, in this folder, for each assignment:

    nbgrader generate_assignment --force NAME
    nbgrader autograde NAME
    nbgrader formgrader   # or: jupyter lab, Nbgrader, Formgrader: mark the explanations
    nbgrader generate_feedback NAME

What comes back goes into `submitted/LEARNER/NAME/NAME.ipynb`. LEARNER is the number, no name is
needed, and nothing leaves this folder. Compare `my_number` in each with your list.

{table}
"""


def main(arguments: Sequence[str] | None = None) -> None:
    """Write the course, and say what comes next."""
    parser = argparse.ArgumentParser(
        prog="python -m aqualib module",
        description="Write the marked work of a ten-week module as a course of nbgrader: the "
        "lecturer's copies with answers in source/, the learners' in release/.",
    )
    parser.add_argument("folder", type=Path, help="new or empty, and the lecturer's own")
    parser.add_argument(
        "--course",
        default="",
        help="a word from which all numbers are drawn (usual: one that nobody can guess)",
    )
    parser.add_argument(
        "--answers",
        type=Path,
        help="your own questions, rubrics and model answers (usual: lessons/leading/answers.json "
        "of the project's folder, which no installed package has)",
    )
    chosen = parser.parse_args(arguments)
    course = chosen.course or f"module-{secrets.token_hex(4)}"
    write_course(chosen.folder, course, model_answers(chosen.answers))
    print(f"Written: {chosen.folder}, {len(assignments())} assignments, course {course}.")
    print("source/ holds the answers: keep it to yourself. Next steps: README.md in that folder.")


def write_course(folder: Path, course: str, answers: Mapping[str, ModelAnswer]) -> None:
    """Write a course; it appears whole or not at all, and never over what is there."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        valid = "a folder that is new or empty"
        raise ValidityError("folder", quoted(str(folder)), valid, "", "is not")
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=folder.parent, prefix=".aqualib-module-") as made:
        draft = Path(made) / "course"
        draft.mkdir()
        _fill(draft, course, answers)
        if folder.exists():
            folder.rmdir()
        draft.rename(folder)


def _fill(folder: Path, course: str, answers: Mapping[str, ModelAnswer]) -> None:
    for assignment in assignments():
        source = for_lecturers(assignment, course, answers[assignment.name])
        for part, notebook in (("source", source), ("release", for_learners(source))):
            to = folder / part / assignment.name / f"{assignment.name}.ipynb"
            to.parent.mkdir(parents=True)
            text = json.dumps(notebook, ensure_ascii=False, indent=1) + "\n"
            to.write_text(text, encoding="utf-8")
    configuration = CONFIGURATION.format(course=course)
    (folder / "nbgrader_config.py").write_text(configuration, encoding="utf-8")
    readme = README.format(course=course, table=_table())
    (folder / "README.md").write_text(readme, encoding="utf-8")


def _table() -> str:
    rows = [
        f"| {a.name} | {' and '.join(a.lessons)} | {a.marks} | {MARKS_OF_EXPLANATION} |"
        for a in assignments()
    ]
    head = ["| NAME | lessons | marks | of them by a person |", "|---|---|---|---|"]
    return "\n".join([*head, *rows])
