"""A first slider: the weight is that of the water in the box."""

import pytest

from aqualib.lesson.panels.tank_weight import compute, describe
from aqualib.units import Q
from aqualib.water.properties import density


@pytest.mark.parametrize("salinity", [0.0, 35.0])
def test_weight_is_volume_times_density(salinity):
    weight = compute(1.0, 0.4, 0.45, 298.15, salinity)
    assert (weight.length, weight.depth, weight.litres) == pytest.approx((100.0, 45.0, 180.0))
    heavy = Q(180, "L") * density(Q(25, "degC"), salinity)
    assert weight.mass == pytest.approx(heavy.m_as("kg"))
    assert weight.floor_load == pytest.approx(heavy.m_as("kg") / 0.4)


def test_words_tell_volume_weight_and_load():
    assert describe(compute(1.0, 0.4, 0.45, 298.15, 0.0)).startswith(
        "180 L of water weighs 179 kg and presses on the floor with 449 kg/m²"
    )
