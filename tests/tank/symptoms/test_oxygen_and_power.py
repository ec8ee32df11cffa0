"""Gasping and power cuts: the hours are those of lesson 02, and the nearest danger comes first."""

import pytest
from leaves_of_symptoms import CASES, found

from aqualib.parameters import parameter
from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.oxygen_and_power import filter_hours, filter_litres, gasping, power_cut
from aqualib.tank.symptoms.what_tonight import led_through
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS, Q

WARM = ZERO_CELSIUS + 24.5
FEED = 3.5e-3 / SECONDS_PER_DAY
MG = 1e-3
INSIDE = parameter("filter_inside").bare
FINE = {
    "oxygen": 7.5 * MG,
    "nitrite": 0.0,
    "ammonia": 0.0,
    "ph": 7.6,
    "temperature": WARM,
    "chloride": 10 * MG,
    "salinity": 0.0,
    "feed": FEED,
    "volume": 0.19,
    "alkalinity": 60 * MG,
    "tap_alkalinity": 120 * MG,
}


def test_hours_are_those_that_lesson_02_prints():
    early, late = (seconds / 3600 for seconds in filter_hours(FEED, WARM, 0.0, INSIDE))
    assert (round(early, 1), round(late, 1)) == (1.9, 3.5)
    assert filter_litres() == pytest.approx(12.4e-3, abs=0.1e-3)


def test_warm_water_shortens_every_hour():
    warm, cool = (
        power_cut(0.0, ZERO_CELSIUS + t, FEED, 0.19, 0.0, INSIDE).figures for t in (29, 18)
    )
    for name in ("tank", "early", "late"):
        assert warm[name].bare < cool[name].bare


@pytest.mark.parametrize(
    ("place", "off"),
    [
        (0, {"oxygen": 2 * MG, "nitrite": 5 * MG, "ammonia": 5 * MG}),
        (1, {"nitrite": 5 * MG, "ammonia": 2 * MG, "ph": 6.5, "alkalinity": 10 * MG}),
        (2, {"nitrite": 5 * MG, "ammonia": 5 * MG}),
        (3, {"nitrite": 5 * MG, "oxygen": 5 * MG}),
        (4, {"oxygen": 5 * MG}),
        (5, {}),
    ],
)
def test_the_nearest_danger_comes_first(place, off):
    assert led_through(gasping, {**FINE, **off}).place == place


def test_full_water_takes_nothing_from_the_air():
    assert led_through(gasping, {**FINE, "oxygen": 12 * MG}).figures["brought"].bare == 0.0


def tank_hours(**off):
    given = {
        "temperature": WARM,
        "feed": FEED,
        "volume": 0.19,
        "salinity": 0.0,
        "filter_inside": INSIDE,
    }
    return power_cut(0.0, **{**given, **off}).figures["tank"].bare / 3600


def test_a_cut_is_taken_to_begin_in_a_tank_as_it_is_at_night():
    """From 0.7 of 8.33 to 3 mg/L, where lesson 02 counts 6.6 h from full: 2.83 over 5.33 of it."""
    assert tank_hours() == pytest.approx(6.6 * (0.7 * 8.33 - 3) / (8.33 - 3), abs=0.05)
    # Sea water at salinity 35 holds 6.83 mg/L at this warmth.
    assert tank_hours(salinity=35.0) / tank_hours() == pytest.approx(
        (0.7 * 6.83 - 3) / (0.7 * 8.33 - 3), rel=0.01
    )
    five = {"hours_stood": Q(5, "h"), "temperature": Q(24.5, "degC")}
    assert diagnose("power cut", **five).code == "cut-fish"


def test_a_larger_filter_has_air_for_longer_and_the_row_is_the_running_tank_s():
    one, two = (filter_hours(FEED, WARM, 0.0, x) for x in (INSIDE, 2 * INSIDE))
    assert two == pytest.approx([2 * hours for hours in one])
    assert pytest.approx(filter_litres(), rel=5e-3) == INSIDE


def test_the_fish_come_first_wherever_something_stood_without_air():
    for code in ("cut-fish", "cut-rinse", "cut-smell", "eggs-stood"):
        assert found(CASES[code]).tonight.startswith("Stir the surface"), code
    low = {"oxygen": Q(2, "mg/L"), "flow": Q(700, "L/h")}
    assert "A vet tonight" in diagnose("film on top", **low).words["call"]
    # What else was measured is not forgotten when air comes first.
    gasp = diagnose("gasping", oxygen=Q(1.5, "mg/L"), nitrite=Q(5, "mg/L"))
    assert "5 mg/L of 0.30 mg/L" in gasp.words["sum"]
    assert "nitrite" in gasp.words["week"]
