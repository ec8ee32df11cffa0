"""Nitrate stays, pH sinks: patience is counted, and causes come in their order."""

import math

import pytest

from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.nitrate_and_ph import changes_until, nitrate_stays, ph_sinks
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.tank.symptoms.what_tonight import led_through
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS, Q

MG = 1e-3
WARM = ZERO_CELSIUS + 24.5
TANK = {"tap_alkalinity": 120 * MG, "temperature": WARM, "salinity": 0.0, "volume": 0.19}

CALM = Water(0.0, 7.6, 60 * MG, 120 * MG, WARM, 0.0)
"""Water without ammonia."""


def sunk(ph, alkalinity, ammonia=0.0):
    told = {"ph": ph, "alkalinity": alkalinity * MG, "ammonia": ammonia * MG, **TANK}
    return led_through(ph_sinks, told)


def test_the_trap_comes_before_spent_alkalinity_and_that_before_stale_air():
    assert sunk(6.5, 10, 2).place == 0
    assert sunk(8.0, 100, 2).place == 1
    assert sunk(6.2, 20).place == 2
    assert sunk(6.6, 100).place == 3
    assert sunk(8.0, 100).place == 4


def test_a_ph_that_cannot_be_at_this_alkalinity_has_no_gas_and_no_traceback():
    assert sunk(9.0, 1).figures["gas"].bare >= 0.0


def test_changes_are_counted_until_the_peak_is_within_the_limit():
    assert changes_until(50, 50, 0.0, 0.5, 0.0) == 1
    # 80 halves to 40 with one change; the peak is the level before the change.
    assert changes_until(41, 160, 0.0, 0.5, 0.0) == 2
    assert changes_until(50, 100, 30, 0.5, 0.0) == math.inf


@pytest.mark.parametrize("tap", [0.05, 0.06])
def test_a_tap_at_the_limit_is_named_before_any_habit(tap):
    """60 mg/L is hardly above 50, and at the tap's 60: nothing to be had from a change."""
    found = nitrate_stays(
        0.06, tap, 0.3, 14 * SECONDS_PER_DAY, 3e-3 / SECONDS_PER_DAY, 0.19, 0.05, CALM
    )
    assert found.place == 3


def test_sea_water_with_half_its_alkalinity_is_not_in_order():
    """Sea water has some 120 mg/L: at 60 it is short, and soda goes on to 120, not to 80."""
    given = {"ph": 7.7, "alkalinity": Q(60, "mg/L"), "ammonia": Q(0.05, "mg/L")}
    sea = diagnose("ph sinks", **given, salinity=35)
    assert sea.code == "ph-spent"
    assert sea.amounts["held"] == Q(120, "mg/L")
    assert sea.amounts["soda_all"].m_as("g") == pytest.approx(1.6787 * 190 * 0.060, rel=1e-3)
    assert diagnose("ph sinks", **given).code == "ph-own"


def test_what_is_changed_tonight_is_never_more_than_half():
    found = nitrate_stays(0.1, 0.008, 0.9, 28 * SECONDS_PER_DAY, 2e-2 / SECONDS_PER_DAY, 0.19, 0.05,
                          CALM)  # fmt: skip
    # From 60 towards 120 mg/L of alkalinity, by 20 a day: a third.
    assert found.figures["part"].bare == pytest.approx(1 / 3)
    same = found_with(tap_alkalinity=60 * MG)
    assert same.figures["part"].bare == 0.5


def found_with(**water):
    return nitrate_stays(0.1, 0.008, 0.9, 28 * SECONDS_PER_DAY, 2e-2 / SECONDS_PER_DAY, 0.19, 0.05,
                         CALM._replace(**water))  # fmt: skip


def test_a_tank_far_above_its_tap_is_changed_and_no_week_asks_for_more_than_the_tank():
    """Half new water of 50 brings 300 to 175: a change does help, though it holds no limit of 50.

    Without food the tap alone decides; the plan's own rule: no end where a week of all the water
    would not do.
    """
    calm = {"ammonia": Q(0, "mg/L"), "ph": 7.5, "nitrate": Q(300, "mg/L")}
    same = {"alkalinity": Q(60, "mg/L"), "tap_alkalinity": Q(60, "mg/L")}
    for tap in (50, 49.9, 45, 30):
        found = diagnose("nitrate stays", tap_nitrate=Q(tap, "mg/L"), **calm, **same,
                         change_share=Q(50, "percent"))  # fmt: skip
        assert found.code == "nitrate-no-end", tap
        assert found.amounts["then"].m_as("mg/L") == pytest.approx((300 + tap) / 2)
        assert found.tonight.startswith("Change 50 %")
    # 22.6 mg/L a week: the line lies at a tap of 27.4.
    for tap in (27.3, 20, 0):
        found = diagnose("nitrate stays", nitrate=Q(90, "mg/L"), tap_nitrate=Q(tap, "mg/L"))
        assert found.code == "nitrate-habit", tap
        assert found.amounts["water"] <= Q(190, "L/week")
    assert diagnose("nitrate stays", nitrate=Q(90, "mg/L"), tap_nitrate=Q(27.5, "mg/L")).code == (
        "nitrate-no-end"
    )
    near = diagnose("nitrate stays", nitrate=Q(52, "mg/L"), tap_nitrate=Q(50, "mg/L"))
    assert (near.code, near.tonight) == ("nitrate-tap", "No change tonight will help: leave it.")
    # Where the tap is within the limit, a tank above it is never told to leave it.
    assert diagnose("nitrate stays", nitrate=Q(52, "mg/L"), tap_nitrate=Q(49, "mg/L")).code != (
        "nitrate-tap"
    )


def test_stirring_too_lifts_the_ph_and_waits_for_the_ammonia():
    """pH 6.8 and 100 mg/L: out of the gas it is 8.1, where 0.49 may stay; 0.9 is too much."""
    assert sunk(6.8, 100, 0.3).place == 3
    assert sunk(6.8, 100, 0.9).place == 0
