"""Safe or not: the numbers are those of the public functions, the verdict follows the limits."""

import pytest

from aqualib.lesson.charts.safety_map import Limit
from aqualib.lesson.panels.safety_map import answer, compute, describe, safety_map_panel
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import ammonia_as_nitrogen, ammonium_as_nitrogen, nitrite_as_nitrogen

pytestmark = pytest.mark.usefixtures("lesson_start")


@pytest.fixture
def panel():
    made = safety_map_panel()
    yield made
    made.close()


@pytest.mark.parametrize(("ph", "celsius", "salinity"), [(7.5, 25, 0.0), (8.2, 12, 35.0)])
def test_numbers_are_those_of_the_public_functions(ph, celsius, salinity):
    water = ph, Q(celsius, "degC"), salinity
    place = compute(0.8e-3, "nitrogen", 0.2e-3, ph, celsius + 273.15, salinity, "nitrogen", 5e-3)
    limits = total_ammonia_limits(*water)
    assert place.ammonia == pytest.approx(
        (0.8, limits.chronic.m_as("mg/L"), limits.acute.m_as("mg/L"))
    )
    unionised = unionised_ammonia_nitrogen(Q(0.8, "mg/L"), *water)
    assert place.unionised == pytest.approx(unionised.m_as("mg/L"))
    for_weeks = safe_nitrite(salinity, Q(5, "mg/L")).m_as("mg/L")
    times = parameter("nitrite_short_over_long").value
    assert place.nitrite == pytest.approx((0.2, for_weeks, times * for_weeks))
    assert f"({100 * place.unionised / 0.8:.1f} %)" in describe(place)


@pytest.mark.parametrize(
    ("choice", "as_nitrogen"),
    [
        ("nitrogen", lambda x: x),
        ("ammonium", ammonium_as_nitrogen),
        ("ammonia", ammonia_as_nitrogen),
    ],
)
def test_a_test_may_show_ammonia_in_three_ways(panel, choice, as_nitrogen):
    panel.set(total_ammonia=1, basis=choice)
    reading = as_nitrogen(Q(1, "mg/L")).m_as("mg/L")
    assert panel.result.ammonia.reading == pytest.approx(reading)
    assert ("on the test" in panel.sentence) == (choice != "nitrogen")
    panel.set(nitrite=1, nitrite_basis="nitrite")
    nitrite = nitrite_as_nitrogen(Q(1, "mg/L")).m_as("mg/L")
    assert panel.result.nitrite.reading == pytest.approx(nitrite)


def test_a_reading_on_a_limit_is_still_within_it():
    zones = [Limit(reading, 1.0, 5.0).zone for reading in (0.0, 1.0, 1.1, 5.0, 5.1)]
    assert zones == ["safe", "safe", "harms", "harms", "act"]


def test_the_verdict_is_that_of_the_worse_of_the_two(panel):
    assert panel.view.answer == ["Ammonia and nitrite:", "Safe for weeks"]
    weeks, today = "Harms over weeks: change water this week", "Act now: change water today"
    for ammonia, nitrite, name, words in (
        (2, 0, "ammonia", weeks), (0, 0.2, "nitrite", weeks),
        (2, 0.2, "ammonia and nitrite", weeks),
        (2, 0.5, "nitrite", today), (10, 0.2, "ammonia", today),
    ):  # fmt: skip
        panel.set(total_ammonia=ammonia, nitrite=nitrite)
        assert panel.view.answer[0] == f"By its {name}:"
        assert panel.view.answer[1].startswith(words)


def test_it_opens_well_inside_a_region_and_takes_nought(panel):
    place = panel.result
    assert 0 < place.ammonia.reading < place.ammonia.long / 3
    panel.set(total_ammonia=0, nitrite=0)
    assert panel.view.error == ""
    assert "0 mg N/L, of which 0 is un-ionised" in panel.sentence
    assert answer(panel.result)[1] == "Safe for weeks"


def test_below_the_printed_limits_that_of_their_end_is_used_and_said(panel):
    panel.set(ph=6.5)
    at_the_end = panel.result.ammonia
    assert "printed" not in panel.sentence
    panel.set(ph=6.0)
    assert panel.result.ammonia == at_the_end
    assert "No ammonia limit is printed below pH 6.5; that of 6.5 is used." in panel.sentence


def test_chloride_lets_more_nitrite_pass(panel):
    limits = []
    for chloride in (1, 5, 100):
        panel.set(chloride=chloride)
        limits.append(panel.result.nitrite.long)
    assert limits == sorted(set(limits))
