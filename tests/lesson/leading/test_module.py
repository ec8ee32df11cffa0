"""The module's page: every reading is in the references, every mark is that of the marked work."""

import re
from pathlib import Path

from aqualib.lesson.leading import assignments
from aqualib.lesson.leading.model_answers import model_answers
from aqualib.sources import references

LEADING = Path(__file__).resolve().parents[3] / "lessons" / "leading"
MODULE = (LEADING / "module.md").read_text(encoding="utf-8")


def part(heading):
    return re.split(r"(?m)^##+ ", MODULE.partition(f"## {heading}\n")[2])[0]


def rows(heading):
    """The cells of a part's table, its heading left out."""
    lines = [line for line in part(heading).splitlines() if line.startswith("|")][2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_every_reading_is_in_the_references_by_its_key_and_title():
    readings = rows("Readings")
    assert {week for week, _, _ in readings} == {str(week) for week in range(1, 11)}
    there = references()
    wrong = [(k, t) for _, k, t in readings if k not in there or there[k]["title"] != t]
    assert wrong == []


def test_ten_weeks_use_every_lesson_and_hand_in_all_marked_work():
    weeks = rows("Week by week")
    assert [row[0] for row in weeks] == [str(week) for week in range(1, 11)]
    lessons = sorted(path.name for path in LEADING.parent.glob("*.ipynb"))
    used = set(re.findall(r"\(\.\./([^)]+)\)", part("Week by week")))
    assert used == set(lessons)
    due = ", ".join(row[-1] for row in weeks)
    for assignment in assignments():
        assert due.count(assignment.name) == 1
    done = [row for row in weeks if "care-and-log" in row[-1]]
    assert "four weeks after the first" in done[0][3]


def test_every_outcome_is_measurable_and_is_reached_in_some_week():
    outcomes = re.findall(
        r"^(\d+)\. \*\*\w+\*\*", part("What a learner can do at the end"), re.MULTILINE
    )
    assert outcomes == [str(n) for n in range(1, 11)]
    reached = {n for row in rows("Week by week") for n in re.findall(r"\d+", row[4])}
    assert reached == set(outcomes)


def test_marks_are_those_of_the_marked_work_and_add_up_to_a_hundred():
    marks = {row[0]: row[1:] for row in rows("Marked work")}
    for assignment in assignments():
        assert marks[assignment.name][0] == str(assignment.marks)
    assert sum(int(weight) for _, weight in marks.values()) == 100
    capstone = next(row for name, row in marks.items() if name.startswith("capstone"))
    assert int(capstone[0]) == 4 * len(rows("Capstone: one real filter"))


def test_links_of_the_leaders_pages_lead_somewhere():
    for page in ("module.md", "run-sheet.md"):
        text = (LEADING / page).read_text(encoding="utf-8")
        for target in re.findall(r"\]\(([^)]+)\)", text):
            assert (LEADING / target).is_file(), (page, target)


def test_it_says_plainly_what_a_learner_can_find():
    said = part("Marked work")
    assert "answers.json" in said
    assert "--answers" in said
    assert "one line of Python gives the key" in said
    assert "no seed can give" not in MODULE


def test_talks_fit_into_the_hours():
    """Seven minutes each: so many in two hours, and how long thirty would take."""
    assert 16 <= 120 / 7 < 18
    assert 4 * 7 <= 30
    assert 16 + 3 * 4 == 28
    assert 30 * 7 / 60 == 3.5
    for words in (
        "sixteen at most",
        "up to 28 learners",
        "has four talks",
        "three and a half hours",
    ):
        assert words in MODULE


def test_no_answer_stands_on_a_leaders_page():
    for page in LEADING.glob("*.md"):
        text = page.read_text(encoding="utf-8")
        for assignment in assignments():
            model = model_answers()[assignment.name]
            assert model.answer[:30] not in text
            assert not any(line in text for line in model.rubric)
