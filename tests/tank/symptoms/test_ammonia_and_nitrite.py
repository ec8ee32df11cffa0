"""Ammonia and nitrite stay: causes are told apart one by one, and the sums keep within bounds."""

import pytest

from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.ammonia_and_nitrite import (
    doubling,
    nitrite_pace,
    nitrite_stays,
    soda_for,
)
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.tank.symptoms.what_tonight import led_through
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS, Q

WARM = ZERO_CELSIUS + 25
MG = 1e-3
FINE = {
    "nitrite": 1.0 * MG,
    "alkalinity": 100 * MG,
    "ammonia": 0.1 * MG,
    "ph": 7.6,
    "tap_alkalinity": 120 * MG,
    "temperature": WARM,
    "tap_ammonia": 0.0,
    "salt_rise": 0.0,
    "days_since_medicine": 60 * SECONDS_PER_DAY,
    "chloride": 10 * MG,
    "salinity": 0.0,
    "volume": 0.2,
}
CAUSES = {
    1: {"ammonia": 2 * MG},
    3: {"alkalinity": 10 * MG},
    4: {"temperature": ZERO_CELSIUS + 10},
    5: {"tap_ammonia": 0.5 * MG},
    6: {"salt_rise": 20.0},
    7: {"days_since_medicine": 3 * SECONDS_PER_DAY},
    8: {"nitrite": 0.3 * MG},
    9: {},
}


@pytest.mark.parametrize("place", CAUSES)
def test_one_measurement_that_is_off_names_its_cause(place):
    assert led_through(nitrite_stays, {**FINE, **CAUSES[place]}).place == place


def test_salt_and_chloride_make_the_same_nitrite_harmless():
    def place(**off):
        return led_through(nitrite_stays, {**FINE, **off}).place

    assert place(nitrite=0.15 * MG, chloride=30 * MG) == 2
    assert place(nitrite=0.25 * MG, salinity=35.0, alkalinity=115 * MG) == 2
    assert place(nitrite=0.5 * MG, chloride=1 * MG) == 9


def test_a_cause_that_can_be_mended_comes_before_how_the_test_counts():
    both = {**FINE, "nitrite": 0.3 * MG}
    assert led_through(nitrite_stays, both).place == 8
    assert led_through(nitrite_stays, {**both, "alkalinity": 10 * MG}).place == 3
    assert led_through(nitrite_stays, {**both, "temperature": ZERO_CELSIUS + 10}).place == 4


def soda(alkalinity, salinity=0.0):
    return soda_for(Water(0.0, 7.0, alkalinity * MG, 0.120, WARM, salinity), 0.2)


def test_soda_is_spread_over_days_and_none_is_asked_for_where_there_is_enough():
    assert soda(100)["soda"].bare == 0.0
    # 25 mg/L short at 20 a day are two days; 50 short are three.
    days = [soda(x)["soda_days"].bare / SECONDS_PER_DAY for x in (55, 30, 79)]
    assert days == [2, 3, 1]
    # In all it is what is missing: 50 mg/L in 200 L, not three whole days of 20.
    assert soda(30)["soda_all"].bare == pytest.approx(1.6787 * 0.050 * 0.2, rel=1e-3)


def test_the_sea_has_lines_of_its_own_and_brackish_water_lies_between():
    lines = [[soda(10, s)[name].bare / MG for name in ("short", "held")] for s in (0, 17.5, 35, 40)]
    assert lines == [pytest.approx(x) for x in ([40, 80], [70, 100], [100, 120], [100, 120])]


def test_the_tap_is_named_where_it_explains_the_reading_and_nowhere_else():
    """33 times more than in the new water comes from the tank, and new water thins it."""

    def leaf(ammonia, tap, ph=7.5):
        return diagnose("ammonia stays", ammonia=Q(ammonia, "mg/L"), ph=ph,
                        tap_ammonia=Q(tap, "mg/L")).code  # fmt: skip

    assert leaf(5, 0.15) == leaf(5, 0) == "ammonia-harms"
    assert leaf(2, 0.2, 8.0) == leaf(2, 0, 8.0) == "ammonia-harms"
    assert leaf(0.6, 0.5) == "ammonia-tap"
    assert leaf(1.2, 1.2) == "ammonia-tap"


def test_cold_slows_and_the_pace_is_one_at_25():
    assert nitrite_pace(WARM) == 1.0
    assert nitrite_pace(WARM - 10) == pytest.approx(1.06**-10)
    assert doubling(WARM - 10) > doubling(WARM)
