"""Guesses and answers: read in the learner's units, refused in words, never a traceback of sums."""

import inspect

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
    exercises.check(77, Q(25, "degC"), "warm")
    assert said(capsys) == "Yes: 77 °F (25 °C)."


def test_a_guess_with_a_unit_is_taken_at_its_word(capsys):
    set_units("us")
    exercises.check(Q(100, "L"), Q(100, "L"), "x")
    assert said(capsys).startswith("Yes")


@pytest.mark.parametrize(("guess", "word"), [(-2, "higher"), (-4, "lower")])
def test_higher_and_lower_below_zero(capsys, guess, word):
    exercises.compare(guess, -3.0, "Change")
    assert word in said(capsys)


def test_zero_is_not_divided_by(capsys):
    exercises.compare(1.0, 0.0, "Left")
    assert said(capsys) == "Left: your guess 1, computed 0; higher."
    exercises.check(0.0, 0.0, "x")
    assert said(capsys) == "Yes: 0."


def test_right_wrong_and_missing_answers(capsys):
    exercises.check(None, Q(115, "kg"), "volume times density")
    assert said(capsys) == "No answer written yet."
    exercises.check(114, Q(115, "kg"), "volume times density")
    assert said(capsys) == "Yes: 115 kg."
    exercises.check(100, Q(115, "kg"), "volume times density")
    assert said(capsys) == "Not yet. Hint: volume times density"


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
def test_what_is_no_answer_is_refused_in_words(expected):
    for bad in (*NO_NUMBERS, Q(3, "m/s")):
        for act in (exercises.check, exercises.compare):
            with pytest.raises(ValidityError, match=r"^your answer = ") as refused:
                act(bad, expected, "words")
            assert len(str(refused.value)) < 200


@pytest.mark.parametrize(
    ("act", "arguments", "name", "bad_ones"),
    [
        (exercises.check, (3, Q(3, "kg"), "hint"), "expected", NO_NUMBERS),
        (exercises.check, (3, Q(3, "kg"), "hint"), "hint", NO_WORDS),
        (exercises.compare, (3, Q(3, "kg"), "Water"), "actual", NO_NUMBERS),
        (exercises.compare, (3, Q(3, "kg"), "Water"), "what", NO_WORDS),
        (exercises.folded, ("Answer", "It weighs", 3), "amount", (None, *NO_NUMBERS)),
        (exercises.folded, ("Answer", "It weighs", 3), "heading", NO_WORDS),
        (exercises.folded, ("Answer", "It weighs", 3), "words", NO_WORDS),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_does_not_belong_is_refused_by_name(act, arguments, name, bad_ones):
    """Also before there is an answer: who writes a lesson sees it at once."""
    named = dict(zip(inspect.signature(act).parameters, arguments, strict=False))
    for first in {named.get("guess", named.get("answer")), None}:
        for bad in bad_ones:
            values = list({**named, name: bad}.values())
            if act is not exercises.folded:
                values[0] = first
            with pytest.raises(ValidityError, match=rf"^{name} = "):
                act(*values)


def test_a_tolerance_is_a_fraction():
    for bad in ("2%", "", None, True, -0.1, 2, [0.02], float("nan"), 10**400):
        with pytest.raises(ValidityError, match=r"^tolerance = "):
            exercises.check(3, Q(3, "kg"), "hint", tolerance=bad)


def test_a_tolerance_is_kept(capsys):
    exercises.check(108, Q(100, "kg"), "hint", tolerance=0.1)
    assert said(capsys) == "Yes: 100 kg."
    exercises.check(112, Q(100, "kg"), "hint", tolerance=0.1)
    assert said(capsys) == "Not yet. Hint: hint"


def test_a_unit_where_none_belongs_is_refused():
    with pytest.raises(ValidityError):
        exercises.check(Q(3, "kg"), 8.1, "hint")


def test_folded_answer_is_hidden_until_opened():
    answer = exercises.folded("Answer", "It weighs", Q(115.0, "kg"))
    assert answer._repr_html_() == ("<details><summary>Answer</summary>It weighs 115 kg.</details>")
    assert repr(answer) == "Answer: It weighs 115 kg."
