"""Ammonia and nitrite stay: causes are told apart one by one, and the sums keep within bounds."""

import pytest

from aqualib.tank.symptoms.ammonia_and_nitrite import (
    change_to,
    doubling,
    nitrite_pace,
    nitrite_stays,
    soda_for,
)
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS

WARM = ZERO_CELSIUS + 25
MG = 1e-3
FINE = {
    "nitrite": 1.0 * MG,
    "alkalinity": 100 * MG,
    "temperature": WARM,
    "tap_ammonia": 0.0,
    "salt_rise": 0.0,
    "days_since_medicine": 60 * SECONDS_PER_DAY,
    "chloride": 10 * MG,
    "salinity": 0.0,
    "volume": 0.2,
}
CAUSES = {
    2: {"alkalinity": 10 * MG},
    3: {"temperature": ZERO_CELSIUS + 10},
    4: {"tap_ammonia": 0.5 * MG},
    5: {"salt_rise": 20.0},
    6: {"days_since_medicine": 3 * SECONDS_PER_DAY},
    7: {},
}


@pytest.mark.parametrize("place", CAUSES)
def test_one_measurement_that_is_off_names_its_cause(place):
    assert nitrite_stays(**{**FINE, **CAUSES[place]}).place == place


def test_salt_and_chloride_make_the_same_nitrite_harmless():
    assert nitrite_stays(**{**FINE, "nitrite": 0.15 * MG, "chloride": 30 * MG}).place == 0
    assert nitrite_stays(**{**FINE, "nitrite": 0.25 * MG, "salinity": 35.0}).place == 0
    assert nitrite_stays(**{**FINE, "nitrite": 0.15 * MG, "chloride": 1 * MG}).place == 7


def test_a_change_never_asks_for_more_than_half_or_for_less_than_nothing():
    assert change_to(0.5, 1.0, 0.0)["share"].bare == 0.0
    assert change_to(10.0, 1.0, 0.0)["share"].bare == 0.5
    exact = change_to(1.25, 1.0, 0.0)
    assert exact["share"].bare == pytest.approx(0.2)
    assert exact["after"].bare == pytest.approx(1.0)
    # New water that is worse than the tank is no help, whatever its share.
    assert change_to(1.0, 0.5, 2.0)["after"].bare >= 1.0


def test_soda_is_spread_over_days_and_none_is_asked_for_where_there_is_enough():
    assert soda_for(0.100, 0.2)["soda"].bare == 0.0
    # 25 mg/L short at 20 a day are two days; 50 short are three.
    days = [soda_for(x * MG, 0.2)["soda_days"].bare / SECONDS_PER_DAY for x in (55, 30, 79)]
    assert days == [2, 3, 1]


def test_cold_slows_and_the_pace_is_one_at_25():
    assert nitrite_pace(WARM) == 1.0
    assert nitrite_pace(WARM - 10) == pytest.approx(1.06**-10)
    assert doubling(WARM - 10) > doubling(WARM)
