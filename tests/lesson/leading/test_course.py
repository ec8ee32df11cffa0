"""The course of nbgrader: answers for the lecturer alone, marks that a solution and a blank get."""

import json
import os
import re
import sys
import tomllib
from pathlib import Path

import nbformat
import pytest

from aqualib.__main__ import main
from aqualib.lesson.leading import assignments
from aqualib.lesson.leading.course import write_course
from aqualib.lesson.leading.marked_notebook import CODE_STUB, TEXT_STUB, for_learners, for_lecturers
from aqualib.lesson.leading.marked_work import MARKS_OF_EXPLANATION
from aqualib.lesson.leading.model_answers import model_answers

COURSE = "a course for tests"
NAMES = [assignment.name for assignment in assignments()]
NUMBERS = "my_number = 0"
ANSWERS = model_answers()
FIRST = assignments()[0]


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    folder = tmp_path_factory.mktemp("module") / "course"
    assert main(["module", str(folder), "--course", COURSE]) == 0
    return folder


def cells_of(course, part, name):
    notebook = json.loads((course / part / name / f"{name}.ipynb").read_text(encoding="utf-8"))
    nbformat.validate(notebook)
    return notebook["cells"]


def graded(cells):
    return [cell for cell in cells if cell["metadata"]["nbgrader"]["grade"]]


def run(cells, learner):
    """The marks that the cells of a notebook give by themselves, in one run from top to bottom."""
    names, marks = {}, 0
    for cell in [cell for cell in cells if cell["cell_type"] == "code"]:
        source = cell["source"].replace(NUMBERS, f"my_number = {learner}")
        note = cell["metadata"]["nbgrader"]
        try:
            exec(source, names)  # noqa: S102 - a cell of our own
        except AssertionError:
            assert note["grade"], source
        else:
            marks += note.get("points", 0)
    return marks


@pytest.mark.parametrize("name", NAMES)
def test_the_solution_has_all_marks_and_a_blank_none(course, name, capsys):
    here = next(a for a in assignments() if a.name == name)
    by_themselves = here.marks - MARKS_OF_EXPLANATION
    source, blank = (cells_of(course, part, name) for part in ("source", "release"))
    assert [run(source, learner) for learner in (0, 7, 12345)] == [by_themselves] * 3
    assert run(blank, 7) == 0
    assert "Answer in" in capsys.readouterr().out


@pytest.mark.parametrize("name", NAMES)
def test_a_neighbours_numbers_have_no_marks_by_themselves(course, name):
    """The learner 8 hands in what learner 7 worked out: nearly every answer is another one."""
    theirs = {}
    for cell in [c for c in cells_of(course, "source", name) if c["cell_type"] == "code"]:
        exec(cell["source"].replace(NUMBERS, "my_number = 7"), theirs)  # noqa: S102 - a cell of our own
    marks = 0
    mine = {**theirs, "my_number": 8}
    cells = cells_of(course, "source", name)
    for cell in [c for c in cells if c["id"].startswith(("question", "test"))]:
        try:
            exec(cell["source"], mine)  # noqa: S102 - a cell of our own
        except AssertionError:
            continue
        marks += cell["metadata"]["nbgrader"].get("points", 0)
    assert marks <= 4


@pytest.mark.parametrize("name", NAMES)
def test_a_learners_copy_holds_no_answer_and_no_hidden_test(course, name):
    here = next(a for a in assignments() if a.name == name)
    source, blank = (cells_of(course, part, name) for part in ("source", "release"))
    assert [cell["id"] for cell in source] == [cell["id"] for cell in blank]
    text = json.dumps(blank, ensure_ascii=False)
    for word in ("### ", "is_right", "Rubric", ANSWERS[name].answer[:40], *ANSWERS[name].rubric):
        assert word not in text
    for exercise in here.exercises:
        assert exercise.answer in json.dumps(source).replace('\\"', '"')
        assert exercise.answer not in text.replace('\\"', '"')
    assert sum(CODE_STUB in cell["source"] for cell in blank) == len(here.exercises)
    assert blank[-1]["source"] == TEXT_STUB
    assert source[-1]["metadata"]["nbgrader"]["points"] == MARKS_OF_EXPLANATION


@pytest.mark.parametrize("name", NAMES)
def test_notes_for_nbgrader_are_whole(course, name):
    here = next(a for a in assignments() if a.name == name)
    cells = cells_of(course, "source", name)
    notes = [cell["metadata"]["nbgrader"] for cell in cells]
    assert len({note["grade_id"] for note in notes}) == len(notes)
    assert sum(note.get("points", 0) for note in notes) == here.marks
    for cell, note in zip(cells, notes, strict=True):
        assert note["locked"] != (note["solution"] or note["grade_id"] == "number")
        assert note["grade"] == ("points" in note)
        if note["grade"] and not note["solution"]:
            assert "### BEGIN HIDDEN TESTS" in cell["source"]
    assert len(graded(cells)) == len(here.exercises) + 1


def test_no_sum_asks_for_a_row_that_a_learner_has_no_name_for():
    for assignment in assignments():
        for exercise in assignment.exercises:
            assert not re.search(r"\b(row|exp|log|sqrt)\(", exercise.answer), exercise.id


def test_a_course_is_never_written_over_another(course, capsys):
    before = sorted(course.rglob("*"))
    assert main(["module", str(course), "--course", "other"]) == 1
    assert "new or empty" in capsys.readouterr().err
    assert sorted(course.rglob("*")) == before


def test_a_course_without_a_word_has_one_that_nobody_can_guess(tmp_path, capsys):
    for name in ("one", "two"):
        assert main(["module", str(tmp_path / name)]) == 0
    words = re.findall(r"course (module-[0-9a-f]{8})\.", capsys.readouterr().out)
    assert len(set(words)) == 2
    configuration = (tmp_path / "one" / "nbgrader_config.py").read_text(encoding="utf-8")
    assert repr(words[0]) in configuration


def test_an_odd_word_breaks_nothing(tmp_path):
    write_course(tmp_path / "course", "a\"b'c\\ {} 🐟", ANSWERS)
    cells = for_lecturers(FIRST, "a\"b'c\\ {} 🐟", ANSWERS[FIRST.name])["cells"]
    names = {}
    exec(next(cell["source"] for cell in cells if cell["id"] == "course"), names)  # noqa: S102 - a cell of our own
    assert names["course"] == "a\"b'c\\ {} 🐟"


def test_a_learners_copy_leaves_the_lecturers_alone():
    source = for_lecturers(FIRST, COURSE, ANSWERS[FIRST.name])
    before = json.dumps(source)
    for_learners(source)
    assert json.dumps(source) == before


def test_nothing_that_a_learner_installs_holds_a_rubric_or_a_model_answer():
    """Data and package have none; the file that has them is left out of the wheel."""
    secrets = [line for each in ANSWERS.values() for line in (each.answer[:60], *each.rubric)]
    top = Path(__file__).resolve().parents[3]
    for folder in ("aqualib", "data", "lessons"):
        for path in (top / folder).rglob("*"):
            if path.suffix in {".py", ".json", ".csv", ".md", ".ipynb"}:
                text = path.read_text(encoding="utf-8")
                found = [line for line in secrets if line in text]
                assert (path.name == "answers.json") == bool(found), path
    wheel = tomllib.loads((top / "pyproject.toml").read_text(encoding="utf-8"))
    left_out = wheel["tool"]["hatch"]["build"]["targets"]["wheel"]["exclude"]
    assert "/lessons/leading/answers.json" in left_out
    assert set(wheel["tool"]["hatch"]["build"]["exclude"]) <= set(left_out)


def test_a_lecturers_own_file_takes_the_place_of_ours(tmp_path, capsys):
    rows = {a.name: {"question": "Why?", "rubric": list("abcde"), "answer": "So."}
            for a in assignments()}  # fmt: skip
    mine = tmp_path / "mine.json"
    mine.write_text(json.dumps({"assignments": rows}), encoding="utf-8")
    assert main(["module", str(tmp_path / "course"), "--answers", str(mine)]) == 0
    source, blank = (
        cells_of(tmp_path / "course", part, NAMES[0]) for part in ("source", "release")
    )
    assert "Why?" in blank[-2]["source"]
    assert "**An answer.** So." in source[-1]["source"]
    assert "So." not in json.dumps(blank)
    capsys.readouterr()
    broken = [{}, {"assignments": {**rows, NAMES[0]: {"rubric": ["a"], "answer": "x"}}}, [], None]
    for n, each in enumerate(broken):
        mine.write_text(json.dumps(each), encoding="utf-8")
        assert main(["module", str(tmp_path / f"no{n}"), "--answers", str(mine)]) == 1
        assert "a rubric of five lines" in capsys.readouterr().err
        assert not (tmp_path / f"no{n}").exists()
    assert main(["module", str(tmp_path / "no"), "--answers", str(tmp_path / "none")]) == 1


@pytest.mark.sweep
@pytest.mark.filterwarnings("ignore")  # of its own libraries
def test_nbgrader_itself_gives_full_marks_to_the_solution_and_none_to_the_blank(
    tmp_path, monkeypatch
):
    """Its own steps: generate, autograde, a person's marks for the explanation, the sum."""
    pytest.importorskip("nbgrader", reason='needs: python -m pip install "aqualib[class]"')
    from nbgrader.api import Gradebook
    from nbgrader.apps import NbGraderAPI
    from traitlets.config import Config

    # It calls a program of its own by name.
    monkeypatch.setenv("PATH", f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}")
    folder = tmp_path / "course"
    write_course(folder, COURSE, ANSWERS)
    config = Config()
    settings = (folder / "nbgrader_config.py").read_text(encoding="utf-8")
    exec(settings, {"get_config": lambda: config})  # noqa: S102 - a file of our own
    config.CourseDirectory.root = str(folder)
    config.ExecutePreprocessor.timeout = 120
    api = NbGraderAPI(config=config)
    for assignment in assignments():
        name = assignment.name
        ours = [cell["source"] for cell in cells_of(folder, "release", name)]
        assert api.generate_assignment(name, force=True)["success"]
        theirs = cells_of(folder, "release", name)
        assert ["".join(cell["source"]) for cell in theirs] == ours, "as nbgrader makes it"
        for learner, part in (("1", "source"), ("2", "release")):
            handed_in = cells_of(folder, part, name)
            text = json.dumps(
                {"cells": handed_in, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
            ).replace(NUMBERS, f"my_number = {learner}")
            to = folder / "submitted" / learner / name / f"{name}.ipynb"
            to.parent.mkdir(parents=True)
            to.write_text(text, encoding="utf-8")
            done = api.autograde(name, learner)
            assert done["success"], done["log"]
    with Gradebook(f"sqlite:///{folder / 'gradebook.db'}") as book:
        for assignment in assignments():
            by_person = MARKS_OF_EXPLANATION
            solution, blank = (book.find_submission(assignment.name, who) for who in ("1", "2"))
            assert solution.max_score == assignment.marks
            assert solution.score == assignment.marks - by_person
            assert solution.needs_manual_grade
            assert blank.score == 0
            (notebook,) = solution.notebooks
            grade = book.find_grade("explanation", notebook.name, assignment.name, "1")
            grade.manual_score, grade.needs_manual_grade = by_person, False
            book.db.commit()
            assert book.find_submission(assignment.name, "1").score == assignment.marks
