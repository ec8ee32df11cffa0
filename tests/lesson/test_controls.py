"""The controls: what they take, in which units, and the words in which they refuse."""

from fractions import Fraction

import numpy as np
import pytest

from aqualib.lesson.controls import Choice, Slider, Tick, assign, nice_step
from aqualib.units import UNIT_SETS, set_units
from aqualib.validity import ValidityError

pytestmark = pytest.mark.usefixtures("lesson_start")


def water():
    return Slider("Water in the tank", "tank_volume", 5.0, 200.0)


def refusal(act, *values):
    """The words of the refusal; any other end is a failure."""
    with pytest.raises(ValidityError) as refused:
        act(*values)
    return str(refused.value)


def test_a_number_is_read_in_the_units_it_was_made_in():
    """The page may be a change of units behind; 200 L must not become 200 gallons."""
    slider = water()
    set_units("us")
    slider.take(150, "metric")
    assert slider.value == 150
    slider.take(52.83441, "us")
    assert slider.value == pytest.approx(200, rel=1e-6)
    set_units("metric")
    slider.take(52.83441, "us")
    assert slider.value == pytest.approx(200, rel=1e-6)
    slider.take(43.9938, "imperial")
    assert slider.value == pytest.approx(200, rel=1e-5)


def test_a_number_made_in_no_unit_set_is_refused():
    slider = water()
    for units in ("cubits", "", 0, [], {}, True):
        assert refusal(slider.take, 150, units).startswith("units = ")
    assert slider.value == 200


def test_the_page_is_told_the_unit_set_with_each_slider():
    slider = water()
    for system in UNIT_SETS:
        set_units(system)
        assert slider.spec()["units"] == system


def test_a_refused_number_is_told_in_the_units_it_was_made_in():
    slider = Slider("Length", "tank_length", 5.0, 100.0)
    set_units("us")
    words = refusal(slider.take, 900, "us")
    assert "900 in is out of range. Valid: 8 to 62 in" in words
    words = refusal(slider.take, 900, "metric")
    assert "900 cm is out of range. Valid: 20 to 160 cm" in words
    assert slider.value == 100.0


def test_a_slider_forgives_the_page_its_arithmetic():
    slider = Slider("pH", "tank_ph", 0.1)
    slider.take(7.199999999999999)
    assert slider.value == 7.2


@pytest.mark.parametrize("number", [np.float32(7.5), np.int64(7), Fraction(15, 2), 7])
def test_a_number_of_any_make_is_a_number(number):
    slider = Slider("pH", "tank_ph", 0.1)
    assign(slider, number)
    assert slider.value == float(number)


CHOICE = Choice("Shape", {"box": "A box", "bow": "Bow front"}, "box")
TICK = Tick("Live rock", start=False)
ODD = (None, 1, 1.5, float("nan"), 10**400, [], ["box"], {}, {"box": 1}, b"box", object())


def test_what_is_no_choice_is_refused_with_the_choices():
    for value in (*ODD, True, "ball", ""):
        for act in (CHOICE.take, lambda value: assign(CHOICE, value)):
            assert 'Valid: "box" or "bow"' in refusal(act, value), value
    assert CHOICE.value == "box"


def test_what_is_neither_yes_nor_no_is_refused_with_both():
    for value in (*(odd for odd in ODD if odd != 1), "yes", ""):
        for act in (TICK.take, lambda value: assign(TICK, value)):
            assert "Valid: True or False" in refusal(act, value), value
    TICK.take(True)
    assert TICK.bare is True
    TICK.take(False)
    assert TICK.bare is False


@pytest.mark.parametrize("control", [water(), CHOICE, TICK], ids=["slider", "choice", "tick"])
def test_a_long_entry_is_cut_in_the_refusal(control):
    for value in ("x" * 100_000, ["y"] * 100_000, 10**5000):
        for act in (control.take, lambda value: assign(control, value)):
            assert len(refusal(act, value)) < 200


@pytest.mark.parametrize(
    ("step", "nice"), [(0.9, 1.0), (2.64, 2.0), (0.0176, 0.02), (4.5, 5.0), (1.0, 1.0)]
)
def test_steps_in_other_units_are_round(step, nice):
    assert nice_step(step) == pytest.approx(nice)


def test_a_slider_may_have_the_ends_of_what_a_learner_brought():
    slider = Slider("Water in the tank", "tank_volume", 5.0, 100.0, (40.0, 120.0))
    assert (slider.spec()["low"], slider.spec()["high"]) == (40.0, 120.0)
    assert "40 to 120 L" in refusal(slider.take, 150)
    assert water().spec()["high"] > 120.0
