"""Readings beyond a line come before the plan, with the fish first."""

import pytest

from aqualib.lesson.handout.new_water_words import alkalinity_words, water_words
from aqualib.parameters import parameter
from aqualib.tank.plan import example_system, make_plan
from aqualib.tank.symptoms import diagnose
from aqualib.units import Q, set_units


def plan_of(**parts):
    system = example_system()
    for part, told in parts.items():
        system = system.changed(part, **told)
    return make_plan(system, doubt=False, changes=False)


def mg(value):
    return Q(value, "mg/L")


def test_a_tank_within_its_lines_has_none():
    # EPA 2013 at pH 7.6 and 24.5 °C: 0.95 mg N/L for long.
    within = {"ammonia": mg(0.9), "nitrite": mg(0.1), "nitrate": mg(50)}
    assert plan_of(readings=within).readings == ()


def test_the_most_pressing_comes_first_and_the_fish_before_the_sum():
    poisoned = {"ammonia": mg(5), "nitrite": mg(3), "nitrate": mg(300)}
    found = plan_of(water={"ph": 8.5}, readings=poisoned).readings
    assert [one.words.split()[0] for one in found] == ["Ammonia", "Nitrite", "Nitrate"]
    assert found[0].tonight.startswith("Feed nothing tonight and stir the surface, and call a vet")
    assert "0.26 mg/L for long" in found[0].words  # the limit of EPA 2013 at pH 8.5, 24.5 °C
    assert "10 % at a time" in found[2].tonight


def test_above_the_long_limit_alone_no_vet_is_called():
    (one,) = plan_of(readings={"ammonia": mg(1.2)}).readings
    assert "vet" not in one.tonight
    assert "lesson 14" in one.tonight


@pytest.mark.parametrize(("alkalinity", "count"), [(1, 1), (39, 1), (40, 0), (120, 0)])
def test_alkalinity_that_no_sum_counts_is_told(alkalinity, count):
    found = plan_of(water={"alkalinity": mg(alkalinity)}).readings
    assert len(found) == count
    assert all("Test ammonia before" in one.tonight for one in found)


def test_in_the_sea_the_line_of_alkalinity_is_that_of_lesson_14():
    """60 mg/L is enough for fresh water, and little for the sea, whose row says 100."""
    line = parameter("alkalinity_short_sea").value
    for alkalinity, count in ((60, 1), (line - 1, 1), (line, 0)):
        found = plan_of(water={"alkalinity": mg(alkalinity), "salinity": 35}).readings
        assert len(found) == count


SOUR = {"ph": 6.0, "temperature": Q(31, "degC"), "alkalinity": mg(60)}


@pytest.mark.parametrize("ammonia", [0.05, 0.3, 0.9, 1.2, 20])
def test_sour_water_is_never_told_what_would_lift_its_ph(ammonia):
    """0.9 mg/L is within its limit of 1.04; half new water would leave 0.45 where 0.37 may stay.

    The verdict is that of lesson 14, and no line tells to stir, or to change half the water.
    """
    found = plan_of(water=SOUR, readings={"ammonia": mg(ammonia), "nitrite": mg(3)}).readings
    asked = {"ammonia": mg(ammonia), "ph": 6.0, "temperature": Q(31, "degC")}
    trapped = diagnose("ph sinks", **asked, alkalinity=mg(60)).code == "ph-trap"
    about = [one for one in found if one.words.startswith("Ammonia")]
    assert bool(about) == trapped == (ammonia >= 0.9)
    for one in about:
        assert "no soda, no strong stirring, and change 10 % of the water at most" in one.tonight
        assert ("call a vet" in one.tonight) == (ammonia > 9.2)  # for an hour, 9.1 mg/L
    assert not any("and stir the surface" in one.tonight for one in found)


def test_a_trapped_tank_of_any_ph_is_told_one_thing_on_the_whole_page():
    """Ammonia 1 mg/L at pH 6.6 and 29 °C: half new water brings pH 8.1, where 0.37 may stay."""
    water = {"ph": 6.6, "temperature": Q(29, "degC"), "alkalinity": mg(60)}
    trapped = plan_of(water=water, readings={"ammonia": mg(1), "nitrite": mg(3)})
    fine = plan_of(water=water, readings={"ammonia": mg(0)})
    assert trapped.is_trapped
    assert not fine.is_trapped
    assert "no soda, no strong stirring" in trapped.readings[0].tonight
    assert not any("and stir the surface" in one.tonight for one in trapped.readings)
    assert "baking soda" not in alkalinity_words(trapped)
    assert trapped.changing.small == pytest.approx(0.1)
    assert trapped.changing.small_every >= 2
    assert "begin with" in water_words(trapped)


def test_a_bucket_that_beats_the_box():
    (one,) = plan_of(pump={"measured_flow": Q(3000, "L/h"), "rated_flow": Q(1150, "L/h")}).readings
    assert "one of them is wrong" in one.words


def test_readings_are_told_in_the_readers_units():
    plan = plan_of(pump={"measured_flow": Q(3000, "L/h"), "rated_flow": Q(1150, "L/h")})
    try:
        set_units("us")
        assert "gal" in plan.readings[0].words
    finally:
        set_units("metric")
