"""Every exercise, with the numbers of many learners: right, mistaken, wrong and odd answers."""

from collections import Counter

import pytest

from aqualib.lesson.asking.bank import all_exercises
from aqualib.lesson.asking.sums import functions_in, parsed
from aqualib.lesson.asking.task import Task, picked
from aqualib.units import set_units

SEEDS = range(12)
EXERCISES = [exercise for some in all_exercises().values() for exercise in some]
NUMBERS = [exercise for exercise in EXERCISES if exercise.kind == "number"]
TASKS = [Task(exercise, seed) for exercise in NUMBERS for seed in SEEDS]
ODD = ("", "🐟", "nan", "1e400", "twelve", None, True, [1], {}, 10**400)


@pytest.fixture(autouse=True)
def _metric():
    set_units("metric")
    yield
    set_units("metric")


def test_the_right_answer_is_right_and_each_known_mistake_is_named():
    wrong = []
    for task in TASKS:
        here = f"{task.exercise.id}, seed {task.seed}"
        for near in (1.0, 1 + 0.9 * task.exercise.tolerance, 1 - 0.9 * task.exercise.tolerance):
            found = task.judged(repr(near * task.answer))
            if found.found != "right" or not found.words.startswith("Yes: "):
                wrong.append((here, near, found))
        for mistaken, words in task.mistakes:
            found = task.judged(repr(mistaken))
            if found.found != "mistake" or words not in found.words:
                wrong.append((here, mistaken, words, found))
    assert wrong == []


def test_a_wrong_answer_says_on_which_side_and_does_not_tell_the_answer():
    for task in TASKS[:: len(SEEDS)]:
        found = task.judged(repr(7.77 * task.answer + 1e-9))
        assert found.found in {"wrong", "mistake"}
        assert found.words.startswith("Read as ")
        if found.found == "wrong":
            assert found.words.endswith("too large." if task.answer > 0 else "too small.")


def test_odd_answers_and_units_of_another_kind_are_answered_in_words():
    for task in TASKS[:: len(SEEDS)]:
        for odd in ODD:
            found = task.judged(odd)
            assert found.found == "odd", (task.exercise.id, odd)
            assert 10 < len(found.words) < 200
        assert task.judged("3 kg*m/s").found == "wrong unit"


def test_another_unit_of_the_same_kind_is_right():
    volume = next(task for task in TASKS if task.exercise.id == "01-litres")
    assert volume.judged(f"{volume.answer / 3.785412:.4f} US gal").found == "right"
    assert volume.judged(f"{volume.answer / 3.785412:.4f}").found == "mistake", "gallons for litres"


@pytest.mark.parametrize("system", ["metric", "us", "imperial"])
def test_words_have_their_numbers_in_every_unit_set(system):
    set_units(system)
    for task in TASKS[:: len(SEEDS)]:
        said = [task.prompt, *task.hints, *(words for _, words in task.mistakes)]
        assert not any("{" in words for words in said), task.exercise.id
        assert task.hints[-1].startswith("The answer is ")
        assert len(task.hints) >= 2


def test_neighbours_differ_and_the_same_seed_gives_the_same():
    for exercise in NUMBERS:
        prompts = [task.prompt for task in TASKS if task.exercise is exercise]
        assert prompts[3] == Task(exercise, 3).prompt
        assert Counter(prompts).most_common(1)[0][1] <= len(SEEDS) // 2, exercise.id
    assert [picked(3, "01-litres l 0", 13), picked(4, "01-litres l 0", 13)] == [2, 12]


def test_each_answer_is_the_sum_of_functions_and_rows_of_the_package():
    for exercise in NUMBERS:
        tree = parsed(exercise.answer, frozenset(exercise.numbers))
        assert functions_in(tree) or "row(" in exercise.answer, exercise.id


def test_each_lesson_has_four_to_six_at_three_levels_and_one_to_explain():
    for lesson, exercises in all_exercises().items():
        if lesson == "00":
            continue
        assert 4 <= len(exercises) <= 6, lesson
        assert {exercise.level for exercise in exercises} == {1, 2, 3}, lesson
        assert [e.kind for e in exercises].count("words") == 1, lesson
        assert sum(len(e.mistakes) for e in exercises) >= 4, lesson
    assert sum(exercise.kind == "model" for exercise in EXERCISES) >= 3
    ids = [exercise.id for exercise in EXERCISES]
    assert len(ids) == len(set(ids))
    assert all(3 <= len(e.rubric) <= 5 for e in EXERCISES if e.kind == "words")
