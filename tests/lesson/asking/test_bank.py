"""The file of exercises is refused where it is not right, and its sums can do little."""

import json

import pytest

from aqualib.files import data_file
from aqualib.lesson.asking.bank import _read, exercises_of
from aqualib.lesson.asking.sums import parsed, worked_out
from aqualib.units import Q
from aqualib.validity import ValidityError

ROWS = json.loads(data_file("exercises.json").read_text(encoding="utf-8"))
GOOD = ROWS["01"][1]


@pytest.mark.parametrize(
    "change",
    [
        {"id": "02-litres"},
        {"id": "01-Litres"},
        {"kind": "quiz"},
        {"level": 4},
        {"answer": "l *"},
        {"answer": "l * unknown"},
        {"answer": "water.oxygen.nothing(l)"},
        {"prompt": "How long is {x}?"},
        {"hints": ["{x}"]},
        {"mistakes": [["x", "no such name"]]},
        {"numbers": {"l": [60, 50, 5, "cm"]}},
        {"numbers": {"l": [60, 70, 0, "cm"]}},
        {"numbers": {"l": [60, 70, 5, "zz"]}},
        {"colour": "red"},
    ],
    ids=str,
)
def test_a_row_that_is_not_right_is_refused(change):
    _read("01", GOOD)
    with pytest.raises(ValidityError):
        _read("01", {**GOOD, **change})


@pytest.mark.parametrize("lesson", ["99", "", None, 3, [1]])
def test_a_lesson_without_exercises_is_refused(lesson):
    with pytest.raises(ValidityError):
        exercises_of(lesson)


@pytest.mark.parametrize(
    "text",
    [
        "__import__('os')",
        "open('x')",
        "l.__class__",
        "[l for l in l]",
        "(lambda: 1)()",
        "l if l else l",
        "water.__builtins__",
        "water.oxygen.saturation(**l)",
        "l; l",
        "(" * 300,
        "f'{l}'",
        "l == 1",
    ],
)
def test_a_sum_may_do_nothing_but_arithmetic_and_calls_of_ours(text):
    with pytest.raises(ValidityError):
        parsed(text, frozenset({"l"}))


def test_a_sum_is_worked_out_in_its_unit():
    def of(text, unit, **values):
        return worked_out(parsed(text, frozenset(values)), values, unit)

    assert of("a * b / 2", "L", a=Q(2, "m**2"), b=Q(1, "mm")) == pytest.approx(1.0)
    assert of("1 - a", "percent", a=Q(20, "percent")) == pytest.approx(80)
    assert of("exp(log(a)) + sqrt(4) - -1", "", a=3) == pytest.approx(6)
    assert of("water.oxygen.saturation(t)", "mg/L", t=Q(25, "degC")) == pytest.approx(
        8.26, abs=0.01
    )
    with pytest.raises(ValidityError):
        of("a + 1", "L", a=3)
