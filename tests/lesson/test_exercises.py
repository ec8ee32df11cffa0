"""Guesses and answers: read in the learner's units, refused in words, never a traceback of sums."""

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


@pytest.mark.parametrize(
    "bad", ["a lot", True, [1, 2], float("nan"), float("inf"), 10**400, Q(3, "degC"), {}]
)
def test_what_is_no_answer_is_refused_in_words(bad):
    with pytest.raises(ValidityError, match="your answer"):
        exercises.check(bad, Q(115, "kg"), "hint")
    with pytest.raises(ValidityError, match="your answer"):
        exercises.compare(bad, Q(115, "kg"), "Water")


def test_a_unit_where_none_belongs_is_refused():
    with pytest.raises(ValidityError):
        exercises.check(Q(3, "kg"), 8.1, "hint")


def test_folded_answer_is_hidden_until_opened():
    answer = exercises.folded("Answer", "It weighs", Q(115.0, "kg"))
    assert answer._repr_html_() == ("<details><summary>Answer</summary>It weighs 115 kg.</details>")
    assert repr(answer) == "Answer: It weighs 115 kg."
