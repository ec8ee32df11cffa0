"""Marked work: six assignments, numbers of a learner's own, and rubrics whose numbers are ours."""

import pytest

from aqualib.lesson.leading import assignments, given, is_right
from aqualib.lesson.leading.marked_work import MARKS_OF_EXPLANATION, exercise_of, seed_of
from aqualib.lesson.leading.model_answers import model_answers
from aqualib.lesson.panels.careful_cleaning import cleaning_panel
from aqualib.lesson.panels.maturing_a_filter import maturation_panel
from aqualib.lesson.panels.staging_the_solids import filter_panel
from aqualib.lesson.panels.what_it_carries import carries_panel
from aqualib.sources import references
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.ammonia import total_ammonia_limits, unionised_fraction


def test_each_assignment_has_two_lessons_and_more_marks_for_sums_than_for_words():
    found = assignments()
    assert [a.lessons for a in found] == [(f"{n:02d}", f"{n + 1:02d}") for n in range(1, 12, 2)]
    for assignment in found:
        assert {exercise.lesson for exercise in assignment.exercises} == set(assignment.lessons)
        model = model_answers()[assignment.name]
        assert len(model.rubric) == MARKS_OF_EXPLANATION == 5
        assert assignment.marks > 2 * MARKS_OF_EXPLANATION
        assert len(model.answer.split()) <= 200, "as many words as learners have"


def test_neighbours_and_courses_have_other_numbers_and_one_learner_the_same():
    exercise = exercise_of("01-litres")
    drawn = {
        str(given(exercise.id, course, n)) for course in ("this", "next") for n in range(1, 21)
    }
    assert len(drawn) > 36, "40 draws of some 5000"
    assert str(given(exercise.id, "this", 4)) == str(given(exercise.id, "this", 4))
    assert min(seed_of("this", n) for n in range(1000)) > 10_000, "no seed of a lesson's practice"


def test_a_right_answer_is_right_for_its_learner_alone():
    here = given("02-ammonia", "this", 1)
    answer = 0.092 * here["f"] * here["p"]
    assert is_right("02-ammonia", "this", 1, answer)
    assert not is_right("02-ammonia", "this", 1, 1.05 * answer)
    assert not is_right("02-ammonia", "this", 1, answer.m_as("g/day"))
    there = [is_right("02-ammonia", "this", n, answer) for n in range(2, 22)]
    assert sum(there) < 4


@pytest.mark.parametrize("answer", [None, "", "many", Q(3, "kg"), float("nan"), [1]])
def test_what_is_no_answer_of_the_kind_is_told(answer):
    asked = given("01-litres", "this", 1)
    assert not asked.is_answer(answer)
    assert asked.is_answer(Q(3, "L"))
    assert "Answer in L" in str(asked)


@pytest.mark.parametrize("exercise", ["05-pad", "06-pores", "09-passed"])
def test_a_part_of_one_does_not_pass_for_per_cent(exercise):
    """The functions return 0.081 where 8.1 % are asked for: the locked cell says so."""
    asked = given(exercise, "this", 3)
    assert not asked.is_answer(0.081)
    assert not asked.is_answer("0.081")
    assert asked.is_answer(8.1)
    assert asked.is_answer(Q(8.1, "percent"))
    assert asked.is_answer("8.1 %")


@pytest.mark.parametrize("learner", ["1", 1.0, True, None])
def test_a_learner_has_a_whole_number(learner):
    with pytest.raises(ValidityError, match="learner"):
        given("01-litres", "this", learner)


def test_an_exercise_that_is_none_is_refused():
    with pytest.raises(ValidityError, match="exercise"):
        exercise_of("01-nothing")


def model_answer(name):
    return model_answers()[name].answer


def test_the_numbers_of_the_model_answers_are_what_the_package_computes():
    warm, said = Q(24.5, "degC"), model_answer("water-and-food")
    for ph in (6.5, 8.5):
        limits = total_ammonia_limits(ph, warm, 0)
        assert f"{100 * unionised_fraction(ph, warm):.2f} %" in said
        for limit in (limits.chronic, limits.acute):
            assert f"{limit.m_as('mg/L'):.3g}" in said
    said, panel = model_answer("start-and-flow"), maturation_panel()
    assert "day 18" in panel.replay()
    assert "one in twenty is safe by day 12, nineteen in twenty by day 28" in said
    assert "by day 12" in panel.sentence
    assert "nineteen in twenty by day 28" in panel.sentence
    said, panel = model_answer("dirt-and-media"), filter_panel()
    for order in ({}, {"tray_1": "fine", "tray_3": "coarse"}):
        panel.replay(**order)
        assert f"on day {panel.result.due:.0f}" in said
    said, panel = model_answer("carry-and-salt"), carries_panel()
    assert "carries 3.2 g a day (1.7 to 4.9)" in said
    assert "3.2 g/day" in panel.replay()
    assert "Between 1.7 g/day and 4.9 g/day" in panel.sentence
    said, panel = model_answer("care-and-log"), cleaning_panel()
    panel.replay(share=90)
    assert "{:.2f} mg N/L of ammonia".format(panel.result.highest("ammonia")[0]) in said
    assert "{:.2f} of nitrite".format(panel.result.highest("nitrite")[0]) in said


def test_what_the_model_answers_cite_is_in_the_references():
    for name, key in (
        ("water-and-food", "EPA2013"),
        ("carry-and-salt", "NijhofBovendeur1990"),
        ("dirt-and-media", "LiYanEtAl2017"),
    ):
        (year,) = {str(references()[key]["issued"]["date-parts"][0][0])}
        assert year in model_answer(name)
