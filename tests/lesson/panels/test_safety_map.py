"""Safe or not: the numbers are those of the public functions, the verdict follows the limits."""

import pytest

from aqualib.lesson.charts.safety_map import Limit
from aqualib.lesson.panels.safety_map import (
    TO_DO,
    alkalinity_taken,
    answer,
    compute,
    describe,
    safety_map_panel,
)
from aqualib.parameters import parameter
from aqualib.tank.symptoms import diagnose
from aqualib.units import Q, number
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
    """Down to a limit: 1 - 0.95 / 2 is 53 %, and half is the most; 1 - 0.1 / 0.15 is a third."""
    assert panel.view.answer == ["Ammonia and nitrite:", TO_DO["near"]]
    for ammonia, nitrite, name, found, share in (
        (2, 0, "ammonia", "harms", "50 %"), (0, 0.15, "nitrite", "harms", "33 %"),
        (1.2, 0.15, "ammonia and nitrite", "harms", "33 %"), (1.2, 0, "ammonia", "harms", "21 %"),
        (2, 0.5, "nitrite", "act", "50 %"), (10, 0.2, "ammonia", "act", "50 %"),
    ):  # fmt: skip
        panel.set(total_ammonia=ammonia, nitrite=nitrite)
        assert panel.view.answer == [f"By its {name}:", TO_DO[found].format(share=share)]


WATERS = [
    (salinity, ph, ammonia)
    for salinity, readings in ((0, (0.08, 0.4, 0.94, 2, 6)), (35, (0.1, 0.3, 0.9, 3, 10)))
    for ph, ammonia in zip((6.0, 6.5, 7.0, 7.6, 8.3, 9.0) * 5, sorted(readings * 6), strict=True)
]
"""Of total ammonia, mg N/L: each pH with each reading, in fresh water and in the sea."""
BEGINS = {
    "ammonia-none": "Safe for weeks: carry on, test again this week",
    "ammonia-meal": "Below both limits today: feed little, test again tomorrow",
    "ammonia-harms": "Harms over weeks: feed nothing, more air, change ",
    "ammonia-trap": "Old-tank trap: feed nothing, no soda, change 10 % at most",
    "ammonia-act": "Act now: feed nothing, more air, change ",
}
"""What the panel says for each leaf of lesson 14's tree, where nitrite is none."""
TONIGHT = {
    "ammonia-none": "Carry on, and test again this week.",
    "ammonia-meal": "Feed little, and test again tomorrow",
    "ammonia-harms": "Feed nothing, more air, and change ",
    "ammonia-trap": "Feed nothing; no soda. Change 10 % at most",
    "ammonia-act": "Feed nothing, more air, and change ",
}


def test_verdict_and_action_are_those_of_lesson_14(panel):
    """One water, one advice; where the two lessons' lines differ the panel is the more careful."""
    seen = set()
    for salinity, ph, ammonia in WATERS:
        panel.set(salinity=salinity, ph=ph, total_ammonia=ammonia, nitrite=0)
        said, place, water = panel.view.answer[1], panel.result, (salinity, ph, ammonia)
        leaf = diagnose(
            "ammonia stays", ammonia=Q(ammonia, "mg/L"), ph=ph, salinity=salinity,
            temperature=parameter("tank_temperature").quantity,
            alkalinity=Q(1e3 * alkalinity_taken(salinity), "mg/L"),
        )  # fmt: skip
        assert TONIGHT[leaf.code] in leaf.tonight, "lesson 14 says something else now"
        seen.add(leaf.code)
        near = place.ammonia.reading > place.ammonia.long / 2
        if leaf.code == "ammonia-none" and near:
            assert said == TO_DO["near"], water
        elif leaf.code == "ammonia-trap" and place.ammonia.zone == "act":
            assert said.startswith("Act now: feed nothing, no soda, change 10 % at most"), water
        else:
            assert said.startswith(BEGINS[leaf.code]), water
        if "air, change" in said:
            share = number(leaf.amounts["share_ammonia"].m_as("percent"), 2)
            assert f"change {share} % of the water" in said, water
    assert seen == set(BEGINS), "every kind of water was tried"


def test_old_water_that_holds_ammonia_is_hardly_changed(panel):
    """2 mg N/L at pH 6.5: half new water would leave 1 at pH 8.1, where 0.51 is the limit."""
    for nitrite, begins in ((0, "Old-tank trap"), (0.2, "Old-tank trap"), (5, "Act now")):
        panel.set(total_ammonia=2, ph=6.5, nitrite=nitrite)
        name = "ammonia and nitrite" if nitrite else "ammonia"
        assert panel.view.answer[0] == f"By its {name}:"
        to_do = "feed nothing, no soda, change 10 % at most, with soft water, test pH first"
        assert panel.view.answer[1] == f"{begins}: {to_do}"
        assert "New water, soda or air lifts the pH" in panel.sentence


def test_just_under_a_limit_is_not_safe_for_weeks(panel):
    below = "Below both limits today"
    for ammonia, nitrite, ph, words in (
        (0.94, 0.09, 7.6, below), (0.0, 0.09, 7.6, below), (0.08, 0.0, 9.0, below),
        (0.1, 0.05, 7.6, "Safe for weeks"), (0.11, 0.0, 7.6, below),
    ):  # fmt: skip
        panel.set(total_ammonia=ammonia, nitrite=nitrite, ph=ph)
        assert panel.view.answer[1].startswith(words), (ammonia, nitrite, ph)


def test_it_opens_well_inside_a_region_and_takes_nought(panel):
    place = panel.result
    assert 0 < place.ammonia.reading < place.ammonia.long / 3
    panel.set(total_ammonia=0, nitrite=0)
    assert panel.view.error == ""
    assert "0 mg N/L, of which 0 is un-ionised" in panel.sentence
    assert answer(panel.result)[1].startswith("Safe for weeks")


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
