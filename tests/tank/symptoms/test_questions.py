"""Questions: a number on the line is not above it, and the first yes leads away."""

import math

import pytest

from aqualib.tank.symptoms.questions import Figure, Step, Worked, line_of
from aqualib.units import Q, set_units


def test_a_number_on_the_line_is_not_above_it():
    on = Figure(1.0), Figure(1.0)
    assert not Step(*on).yes
    assert Step(*on, below=True).yes
    assert Step(Figure(1.1), Figure(1.0)).yes
    assert Step(Figure(1.1), Figure(1.0)).text == "1.1 > 1"


@pytest.mark.parametrize(("answers", "place"), [("ny", 1), ("yy", 0), ("nn", 2), ("", 0)])
def test_the_first_yes_leads_to_its_leaf_and_no_yes_to_the_last(answers, place):
    steps = tuple(Step(Figure(float(one == "y")), Figure(0.5)) for one in answers)
    assert Worked(steps, {}).place == place


def test_a_figure_keeps_its_unit_and_is_shown_in_the_set_in_force():
    flow = Figure(740 / 3.6e6, "L/h")
    assert flow.amount.m == pytest.approx(740)
    assert flow.text == "740 L/h"
    try:
        set_units("us")
        assert flow.text == "195 US gal/h (740 L/h)"
    finally:
        set_units("metric")
    assert Figure(math.inf, "day").text == "no end"
    assert Figure(7.6).amount == 7.6
    assert line_of("ammonia_allowed").amount == Q(0.1, "mg/L")
