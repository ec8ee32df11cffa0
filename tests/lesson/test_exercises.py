"""Guesses: read in the learner's units, refused in words, never a traceback of sums."""

import numpy as np
import pytest

from aqualib.lesson import exercises
from aqualib.units import Q, set_units
from aqualib.validity import ValidityError


@pytest.fixture(autouse=True)
def _metric():
    set_units("metric")
    yield
    set_units("metric")


def said(capsys):
    return capsys.readouterr().out.strip()


def test_no_guess_still_gives_the_number(capsys):
    exercises.compare(None, Q(180, "L"), "Water")
    assert said(capsys) == "No guess written yet. Water: 180 L."


@pytest.mark.parametrize(
    ("guess", "verdict"), [(90, "50 % lower"), (198, "10 % higher"), (180, "the same")]
)
def test_guess_beside_the_number(capsys, guess, verdict):
    exercises.compare(guess, Q(180, "L"), "Water")
    assert said(capsys) == f"Water: your guess {guess} L, computed 180 L; {verdict}."


def test_guess_is_read_in_the_units_shown(capsys):
    set_units("us")
    exercises.compare(26.417, Q(100, "L"), "Water")
    assert said(capsys).endswith("the same.")
    exercises.compare(77, Q(25, "degC"), "Warm")
    assert said(capsys) == "Warm: your guess 77 °F (25 °C), computed 77 °F (25 °C); the same."


def test_a_guess_with_a_unit_is_taken_at_its_word(capsys):
    set_units("us")
    exercises.compare(Q(100, "L"), Q(100, "L"), "x")
    assert said(capsys).endswith("the same.")


@pytest.mark.parametrize(("guess", "word"), [(-2, "higher"), (-4, "lower")])
def test_higher_and_lower_below_zero(capsys, guess, word):
    exercises.compare(guess, -3.0, "Change")
    assert word in said(capsys)


def test_zero_is_not_divided_by(capsys):
    exercises.compare(1.0, 0.0, "Left")
    assert said(capsys) == "Left: your guess 1, computed 0; higher."
    exercises.compare(0.0, 0.0, "x")
    assert said(capsys).endswith("the same.")


class Stubborn:
    """What neither shows itself nor turns into a number."""

    def __repr__(self):
        raise RuntimeError

    __float__ = __repr__


NO_NUMBERS = (
    *("a lot", True, np.True_, [1, 2], (12, 5), {}, object(), 1j, Stubborn()),
    *(float("nan"), float("inf"), 10**400, 10**5000, np.array([3.0]), np.array([1, 2])),
    *(Q([1, 2], "kg"), Q(np.array([3.0]), "kg"), Q(float("nan"), "kg")),
)
NO_WORDS = (None, 5, True, ["words"], b"words", Q(3, "kg"), Stubborn())


@pytest.mark.parametrize(
    "expected", [Q(115, "kg"), Q(25, "degC"), 8.1], ids=["kg", "degC", "plain"]
)
def test_what_is_no_guess_is_refused_in_words(expected):
    for bad in (*NO_NUMBERS, Q(3, "m/s")):
        with pytest.raises(ValidityError, match=r"^your guess = ") as refused:
            exercises.compare(bad, expected, "words")
        assert len(str(refused.value)) < 200


@pytest.mark.parametrize(
    ("name", "bad_ones"), [("actual", NO_NUMBERS), ("what", NO_WORDS)], ids=["actual", "what"]
)
def test_what_does_not_belong_is_refused_by_name(name, bad_ones):
    """Also before there is a guess: who writes a lesson sees it at once."""
    for guess in (3, None):
        for bad in bad_ones:
            given = {"guess": guess, "actual": Q(3, "kg"), "what": "Water", name: bad}
            with pytest.raises(ValidityError, match=rf"^{name} = "):
                exercises.compare(**given)


def test_a_unit_where_none_belongs_is_refused():
    with pytest.raises(ValidityError):
        exercises.compare(Q(3, "kg"), 8.1, "Water")
