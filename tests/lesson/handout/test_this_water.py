"""What the page says of sour water and of hot: an invented tank at pH 6.0 and 31 °C."""

import json

import pytest
from plans_to_print import START

from aqualib.lesson.handout import plan_words
from aqualib.lesson.handout.plan_numbers import as_plan_json
from aqualib.lesson.handout.plan_page import as_plan_page
from aqualib.lesson.handout.plan_text import as_plan_text
from aqualib.tank.plan import example_system, make_plan
from aqualib.units import UNIT_SETS, Q, set_units


def plan_at(ph, celsius):
    system = example_system().changed("water", ph=ph, temperature=Q(celsius, "degC"))
    return make_plan(system, START, doubt=False, changes=False)


@pytest.fixture(scope="module")
def discus():
    return plan_at(6.0, 31)


def test_no_line_tells_a_trapped_tank_to_stir(discus):
    """1 mg/L at pH 6: the alarm forbids strong stirring; the line on heat does not ask for it."""
    assert "keep the surface moving" in plan_words.this_water(discus).lines[1].words
    told = discus.system.changed("water", alkalinity=Q(60, "mg/L"))
    told = told.changed("readings", ammonia=Q(1, "mg/L"))
    trapped = make_plan(told, START, doubt=False, changes=False)
    assert trapped.is_trapped
    assert "surface moving" not in as_plan_text(trapped)


def test_the_page_says_what_is_not_known_and_what_not_to_do(discus):
    sour, hot = plan_words.this_water(discus).lines
    # By hand: 1 - 0.13 x 0.5 = 0.935, from 1 - 1.0 x 0.5 to 1 - 0.01 x 0.5.
    assert "at pH 6 bacteria are taken to do 94 % of their work (50 to 100 %)" in sour.words
    assert "Ammonia is mostly mild ammonium here, and turns to poison as the pH rises" in sour.words
    assert "never lift it at a stroke, by new water, soda or a burst of air" in sour.words
    assert "go slowly (lesson 14, “the pH sinks”)" in sour.words
    assert "taken to work as at 30 °C; oxygen and breathing are those of 31 °C" in hot.words
    assert "holds 7.4 mg/L of oxygen at most" in hot.words  # Benson & Krause at 31 °C: 7.43
    assumed = {line.term: line.words for line in plan_words.assumed(discus).lines}
    assert "little has been measured" in assumed["Below pH 6.5"]
    assert "13 % less work for each unit of pH (1 to 100 %)" in assumed["Below pH 6.5"]
    assert "no part carries more than at 30 °C" in assumed["Above 30 °C"]
    # Soda for its alkalinity would lift the pH.
    alkalinity = plan_words.flow(discus).lines[-1].words
    assert "baking soda" not in alkalinity
    assert "soda lifts the pH too: test ammonia first" in alkalinity


@pytest.mark.parametrize("units", UNIT_SETS)
def test_page_text_and_json_say_it_alike(discus, units):
    set_units(units)
    lines = plan_words.this_water(discus).lines
    page, text = as_plan_page(discus), " ".join(as_plan_text(discus).split())
    for line in lines:
        assert f"{line.term}: {line.words}" in text
        assert line.words.split(":")[0] in page
    set_units("metric")
    said = [line._asdict() for line in plan_words.this_water(discus).lines]
    set_units(units)
    assert json.loads(as_plan_json(discus))["your_water"] == said


@pytest.mark.parametrize(("ph", "celsius"), [(6.5, 30), (7.6, 24.5)])
def test_water_that_was_measured_has_no_such_words(ph, celsius):
    plan = plan_at(ph, celsius)
    assert plan_words.this_water(plan).lines == ()
    assert "Your water" not in as_plan_text(plan) + as_plan_page(plan)
    assert {"Below pH 6.5", "Above 30 °C"}.isdisjoint(
        line.term for line in plan_words.assumed(plan).lines
    )
