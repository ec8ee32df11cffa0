"""Ranges and choices say what they mean, and the one error carries all its parts."""

from __future__ import annotations

import pickle

import pytest

from aqualib.validity import AnyAmount, OneOf, Range, ValidityError, YesNo


def test_error_carries_its_parts():
    error = ValidityError("ph", 12, "6 to 10", "Someone2000", "is out of range")
    assert isinstance(error, ValueError)
    assert (error.parameter, error.value, error.valid) == ("ph", 12, "6 to 10")
    assert (error.source, error.why) == ("Someone2000", "is out of range")
    assert str(error) == (
        "ph = 12 is out of range. Valid: 6 to 10 (source of the range: Someone2000)."
    )


def test_error_without_a_source():
    error = ValidityError("ph", 12, "6 to 10", "", "is out of range")
    assert str(error) == "ph = 12 is out of range. Valid: 6 to 10."


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (Range(0, 50, "degC"), "0 to 50 degC"),
        (Range(6, 10), "6 to 10"),
        (Range(0.5, 1e6, "L"), "0.5 to 1e+06 L"),
        (Range(-2, 40, "degC"), "-2 to 40 degC"),
        (Range(1, 9, whole=True), "1 to 9 (whole number)"),
        (Range(0, float("inf"), "g"), "0 g or more"),
        (Range(0, float("inf")), "0 or more"),
        (OneOf(("a", "b")), '"a" or "b"'),
        (YesNo(), "True or False"),
        (AnyAmount(("mg/L", "g")), "0 or more in mg/L or g"),
    ],
)
def test_text(rule, text):
    assert rule.text == text


def test_slack_is_tiny_and_finite():
    assert Range(0, 50).holds(50 + 4e-8)
    assert not Range(0, 50).holds(50 + 1e-6)
    assert Range(0, 50).holds(-5e-10)
    assert not Range(0, 50).holds(-2e-9)
    # A wide range does not make its small end loose.
    assert not Range(1e-4, 1e5).holds(0.0)
    assert not Range(0, 1e6).holds(-0.0005)
    assert not Range(0, 1).holds(float("nan"))
    assert Range(0, float("inf")).holds(1e30)


@pytest.mark.parametrize("rule", [Range(0, 1), OneOf(("a",)), YesNo(), AnyAmount(("g",))])
def test_rules_cannot_be_changed_and_can_be_compared(rule):
    with pytest.raises(AttributeError):
        rule.source = "other"
    assert rule == type(rule)(*(getattr(rule, name) for name in rule.__dataclass_fields__))
    assert len({rule, rule}) == 1


def test_an_error_comes_back_whole_from_a_worker_process():
    error = ValidityError("ph", 12, "6 to 10", "Someone2000", "is out of range")
    back = pickle.loads(pickle.dumps(error))
    assert str(back) == str(error)
    assert (back.parameter, back.value, back.valid) == ("ph", 12, "6 to 10")
