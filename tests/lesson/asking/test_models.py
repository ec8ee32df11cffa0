"""Functions of learners: right, with a known slip, wrong, and those that stop."""

import pytest

from aqualib.lesson.asking.bank import all_exercises
from aqualib.lesson.asking.models import MODELS, tried
from aqualib.parameters import parameter
from aqualib.validity import ValidityError

LAW = next(e for e in all_exercises()["12"] if e.model == "law").data
SPEED = [0.78, 0.5, 0.096]


def growth(x, ammonia):
    return (0.78 * ammonia / (0.5 + ammonia) - 0.096) * x


def round_(nitrate, rise, share, tap):
    return (nitrate + rise) * (1 - share) + share * tap


def test_the_words_of_lesson_03_have_the_numbers_of_the_model():
    rows = ("ammonia_oxidiser_growth", "total_ammonia_half_saturation", "ammonia_oxidiser_decay")
    assert [parameter(name).value for name in rows] == SPEED


@pytest.mark.parametrize(("name", "mine"), [("growth", growth), ("change", round_)])
def test_the_right_model_is_right_and_a_hair_beside_it_is_not(name, mine):
    assert tried(name, mine, {})[0] == "right"
    found, words = tried(name, lambda *given: 1.02 * mine(*given), {})
    assert found == "wrong"
    assert "yours gives" in words


@pytest.mark.parametrize(
    ("name", "slip", "words"),
    [
        ("growth", lambda x, s: 0.78 * s / (0.5 + s) * x, "some die"),
        ("growth", lambda _, s: 0.78 * s / (0.5 + s) - 0.096, "times x"),
        ("growth", lambda x, s: (0.78 * s / 0.5 - 0.096) * x, "half + ammonia"),
        ("growth", lambda x, _: (0.78 - 0.096) * x, "without food"),
        ("change", lambda n, r, x, _: (n + r) * (1 - x), "The tap brings"),
        ("change", lambda n, r, x, t: n * (1 - x) + t * x + r, "changed the water first"),
        ("change", lambda n, r, x, t: (n + r) * x + t * (1 - x), "what stays"),
        ("change", lambda n, _, x, t: n * (1 - x) + t * x, "add the rise"),
    ],
    ids=range(8),
)
def test_known_slips_are_named(name, slip, words):
    found, said = tried(name, slip, {})
    assert found == "mistake"
    assert words in said


def test_a_straight_line_fails_against_the_data_and_the_curve_does_not():
    for slope in (150, 600, 3000):
        found, words = tried("law", lambda c, slope=slope: slope * c, LAW)
        assert found == "wrong"
        assert "refute" in words
    assert tried("law", lambda c: 212.7 * c / (0.0641 + c), LAW)[0] == "right"
    assert tried("law", lambda c: 212.7 * c / (0.03 + c), LAW)[0] == "wrong"


class Fish:
    def __float__(self):
        raise RuntimeError("🐟")


def stops(*_):
    raise KeyError("x" * 5000)


@pytest.mark.parametrize("name", MODELS)
@pytest.mark.parametrize(
    "mine",
    [stops, lambda: 3, lambda *_: "many", lambda *_: [1, 2], lambda *_: float("nan"),
     lambda *_: 10**400, lambda *_: Fish()],
    ids=["raises", "arguments", "text", "list", "nan", "huge", "fish"],
)  # fmt: skip
def test_a_function_that_gives_no_number_is_told_in_words(name, mine):
    found, words = tried(name, mine, LAW)
    assert found == "odd"
    assert words.startswith("Your function ")
    assert len(words) < 250


@pytest.mark.parametrize("name", MODELS)
def test_nothing_written_yet(name):
    assert tried(name, lambda *_: None, LAW) == (
        "", "Nothing written yet: the function returns None."
    )  # fmt: skip
    with pytest.raises(ValidityError):
        tried(name, 3, LAW)
