"""Gasping and power cuts: the hours are those of lesson 02, and the nearest danger comes first."""

import pytest

from aqualib.tank.symptoms.oxygen_and_power import filter_hours, filter_litres, gasping, power_cut
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS

WARM = ZERO_CELSIUS + 24.5
FEED = 3.5e-3 / SECONDS_PER_DAY
MG = 1e-3
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
}


def test_hours_are_those_that_lesson_02_prints():
    early, late = (seconds / 3600 for seconds in filter_hours(FEED, WARM))
    assert (round(early, 1), round(late, 1)) == (1.9, 3.5)
    assert power_cut(0.0, WARM, FEED, 0.19).figures["tank"].bare / 3600 == pytest.approx(
        6.6, abs=0.05
    )
    assert filter_litres() == pytest.approx(12.4e-3, abs=0.1e-3)


def test_warm_water_shortens_every_hour():
    warm, cool = (power_cut(0.0, ZERO_CELSIUS + t, FEED, 0.19).figures for t in (29, 18))
    for name in ("tank", "early", "late"):
        assert warm[name].bare < cool[name].bare


@pytest.mark.parametrize(
    ("place", "off"),
    [
        (0, {"oxygen": 2 * MG, "nitrite": 5 * MG, "ammonia": 5 * MG}),
        (1, {"nitrite": 5 * MG, "ammonia": 5 * MG}),
        (2, {"ammonia": 5 * MG, "oxygen": 5 * MG}),
        (3, {"oxygen": 5 * MG}),
        (4, {}),
    ],
)
def test_the_nearest_danger_comes_first(place, off):
    assert gasping(**{**FINE, **off}).place == place


def test_full_water_takes_nothing_from_the_air():
    assert gasping(**{**FINE, "oxygen": 12 * MG}).figures["brought"].bare == 0.0
