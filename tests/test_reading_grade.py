"""Lessons stay readable at 14, and the table in DEVELOPERS says how readable they are."""

import re

import pytest
from reading_grade import HEAD, LESSONS, TABLE, lesson, measured, prose_of, syllables

MOST_GRADE, MOST_WORDS = 8.0, 18.0
NEAR = 0.5
"""By how much the table may lag behind a lesson that is being written; of words, twice that."""


def told():
    """What the table says of each lesson."""
    rows = re.match(r"(?:\|.*\n)*", TABLE.read_text(encoding="utf-8").split(HEAD)[1])[0]
    cells = (row.strip("| ").split(" | ") for row in rows.splitlines())
    return {name: (float(grade), float(words)) for name, grade, words in cells}


def test_every_lesson_is_readable_at_14_and_as_the_table_says():
    measures = {path.stem: lesson(path) for path in LESSONS}
    hard = {n: p for n, p in measures.items() if p.grade > MOST_GRADE or p.sentence > MOST_WORDS}
    assert hard == {}
    assert told().keys() == measures.keys(), "python tests/reading_grade.py --write"
    for name, (grade, words) in told().items():
        assert measures[name].grade == pytest.approx(grade, abs=NEAR), name
        assert measures[name].sentence == pytest.approx(words, abs=2 * NEAR), name


def test_syllables_are_counted():
    said = {
        "the": 1, "make": 1, "passed": 1, "plates": 1, "live": 1, "water": 2, "little": 2,
        "wanted": 2, "places": 2, "people": 2, "being": 2, "filter": 2, "action": 2,
        "oxygen": 3, "ammonia": 4, "bacteria": 4, "alkalinity": 5,
    }  # fmt: skip
    assert {word: syllables(word) for word in said} == said


def test_the_sum_is_that_of_the_formula():
    easy = measured("The cat sat on the mat. It ran.")
    assert easy.sentence == 4.0
    assert easy.grade == pytest.approx(0.39 * 4.0 + 11.8 - 15.59)
    hard = measured("Alkalinity neutralises hydrogen, notwithstanding considerable nitrification.")
    assert hard.grade > 20.0


def test_only_running_text_is_counted():
    markdown = (
        "# Title\n\nWater [flows](x.md) (Someone 2013) by $a = b$ here.\n\n$$c\n=d$$\n\n"
        "| a | b |\n|---|---|\n\n- one,\n- two words"
    )
    assert measured(prose_of(markdown)).sentence == pytest.approx(7 / 3)
