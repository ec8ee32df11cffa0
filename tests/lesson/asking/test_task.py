"""Every exercise, with the numbers of many learners: right, mistaken, wrong and odd answers."""

import re
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
    volume = the("01-litres")
    assert volume.judged(f"{volume.answer / 3.785412:.4f} US gal").found == "right"
    assert volume.judged(f"{volume.answer / 3.785412:.4f}").found == "mistake", "gallons for litres"


LITRES_IN = {"litres": 1.0, "US gallons": 3.785412, "imperial gallons": 4.54609,
             "cubic inches": 0.01638706, "cubic centimetres": 0.001}  # fmt: skip
BOX = {"metric": ("L", 1.0), "us": ("US gal", 3.785412), "imperial": ("imp gal", 4.54609)}


@pytest.mark.parametrize("system", list(BOX))
def test_a_number_in_another_unit_is_named_in_every_unit_set(system):
    set_units(system)
    beside, litres = BOX[system]
    for task in (the("00-litres"), the("01-litres"), the("11-water")):
        for name, size in LITRES_IN.items():
            found = task.judged(f"{task.answer / size:.6g}")
            if size == litres:
                assert found.found == "right"
            else:
                assert found.found == "mistake", (task.exercise.id, name)
                assert f"{name}; the box is in {beside}." in found.words
    weight = the("00-weight")
    kilograms = weight.judged(f"{weight.answer:.5g}")
    pounds = weight.judged(f"{weight.answer * 2.204623:.5g}")
    told = {kilograms.found: kilograms.words, pounds.found: pounds.words}
    assert set(told) == {"right", "mistake"}
    box = "the box is in kg" if system == "metric" else "the box is in lb"
    assert box in told["mistake"]
    share = the("06-pores")
    assert "parts of one" in share.judged(f"{share.answer / 100:.5g}").words


def test_for_one_litre_is_for_one_gallon_where_gallons_are_read():
    task = the("01-salt")
    for system, size in (("metric", 1.0), ("us", 3.785412), ("imperial", 4.54609)):
        set_units(system)
        litres = float(task.values["v"].m)
        found = task.judged(f"{task.answer * size / litres:.6g} g")
        name = {"metric": "litre", "us": "US gallon", "imperial": "imperial gallon"}[system]
        assert f"That is for one {name}." in found.words


def test_a_change_of_units_shows_no_further_hint():
    for task in TASKS[:: len(SEEDS)]:
        counts = set()
        for system in BOX:
            set_units(system)
            counts.add(len(task.hints))
        assert len(counts) == 1, task.exercise.id
    set_units("us")
    assert "stand in brackets" in the("01-litres").hints[0]
    assert "stand in brackets" not in the("05-last").hints[0]


def the(name, seed=3):
    return next(t for t in TASKS if t.exercise.id == name and t.seed == seed)


BY_HAND = {
    # As the hints say it, with the numbers of the lesson's page and no function of ours.
    "06-depth": lambda c, k: (2 * 0.00012 * c / k) ** 0.5 * 1e6,
    "01-salt": lambda v, s: v * 1.023 * (35 - s),
    "01-salinity": lambda r: 1330 * (r - 1),
    "11-water": lambda v, f, p, c: 7 * 92 * f * p / 100 * 4.43 / (50 - c),
    "11-soda": lambda n, x, s: (7.15 * n * 7 + x * (80 - s)) / 1000 * 1.68,
}


@pytest.mark.parametrize("name", list(BY_HAND))
def test_who_follows_the_hints_by_hand_is_right(name):
    for seed in SEEDS:
        task = the(name, seed)
        given = {n: float(getattr(v, "m", v)) for n, v in task.values.items()}
        by_hand = BY_HAND[name](**given)
        assert task.judged(f"{by_hand:.4g}").found == "right", (seed, by_hand, task.answer)


def test_the_explanation_tells_the_depth_that_was_asked():
    for seed in SEEDS:
        task = the("06-depth", seed)
        said = task.judged(f"{task.answer:.4g}").words
        assert said.count(f"{task.answer:.3g} µm") == 2, said
        plain = task.judged(f"{task.answer / 0.6**0.5:.4g}")
        assert "plain water" in plain.words


def test_three_digits_of_litres_are_enough():
    for seed in SEEDS:
        task = the("01-litres", seed)
        assert task.judged(f"{task.answer:.3g}").found == "right"
        assert task.judged(f"{task.answer:.0f}").found == "right", "whole litres"


def test_no_hint_has_a_function_as_its_only_road():
    """A call in a hint is the second road: the words before "In code:" lead there by themselves."""
    for exercise in NUMBERS:
        for hint in exercise.hints:
            road, _, code = hint.partition("In code: ")
            assert not re.search(r"[a-z]+_[a-z]+|\w\(Q\(", road), (exercise.id, hint)
            assert not code or len(road.split()) >= 3, (exercise.id, hint)


def test_the_numbers_that_hints_tell_lead_to_the_answer():
    task = the("07-food")
    one = float(re.search(r"needs ([\d.]+) g/day", task.hints[0])[1])
    assert one * task.values["n"] == pytest.approx(task.answer, rel=0.01)
    task = the("08-oxygen")
    fresh, sea = map(float, re.findall(r"([\d.]+) mg/L", task.hints[0]))
    assert 100 * (fresh - sea) / fresh == pytest.approx(task.answer, rel=0.02)
    task = the("04-hose")
    speed = float(re.search(r"at ([\d.]+) m/s", task.hints[0])[1])
    f = float(re.search(r"f is ([\d.]+)", task.hints[1])[1])
    length, bore = task.values["l"].m, task.values["b"].m / 1000
    assert f * length / bore * speed**2 / 19.6 == pytest.approx(task.answer, rel=0.03)
    task = the("07-media")
    one, kilogram = (float(each) for each in re.findall(r"([\d.]+) g/day", " ".join(task.hints)))
    food = one * task.values["n"] * task.values["r"]
    assert food / kilogram == pytest.approx(task.answer, rel=0.02)


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
        assert 4 <= len(exercises) <= 6, lesson
        assert {exercise.level for exercise in exercises} == {1, 2, 3}, lesson
        assert [e.kind for e in exercises].count("words") == 1, lesson
        assert sum(len(e.mistakes) for e in exercises) >= 4, lesson
    assert sum(exercise.kind == "model" for exercise in EXERCISES) >= 3
    assert sum(exercise.level == 3 for exercise in NUMBERS) >= 5
    ids = [exercise.id for exercise in EXERCISES]
    assert len(ids) == len(set(ids))
    assert all(3 <= len(e.rubric) <= 5 for e in EXERCISES if e.kind == "words")
