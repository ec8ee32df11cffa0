"""How much oxygen it can hold: the numbers are those of the public functions."""

import pytest

from aqualib.lesson.charts.oxygen_curve import CELSIUS
from aqualib.lesson.panels.oxygen_curve import compute, describe
from aqualib.units import Q
from aqualib.water.oxygen import air_pressure, saturation


@pytest.mark.parametrize(("salinity", "altitude"), [(0.0, 0.0), (35.0, 0.0), (10.0, 2500.0)])
def test_numbers_are_those_of_the_public_functions(salinity, altitude):
    breath = compute(291.15, salinity, altitude, 0.3)
    pressure = air_pressure(Q(altitude, "m"))
    held = saturation(Q(18, "degC"), salinity, pressure)
    assert breath.pressure == pytest.approx(pressure.m_as("kPa"))
    assert breath.saturation == pytest.approx(held.m_as("mg/L"))
    assert breath.grams == pytest.approx((held * Q(300, "L")).m_as("g"))
    curve = saturation(Q(CELSIUS, "degC"), salinity, pressure)
    assert breath.curve == pytest.approx(curve.m_as("mg/L"))
    assert (breath.celsius, breath.litres) == pytest.approx((18.0, 300.0))


def test_words_tell_what_the_water_holds():
    words = describe(compute(298.15, 0.0, 0.0, 0.2))
    assert "At 25 °C, salinity 0 and an air pressure of 101 kPa the water can hold 8.26" in words
    assert "In 200 L that is 1.65 g" in words
