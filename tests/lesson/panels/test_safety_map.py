"""Safe or not: the numbers are those of the public functions, and the words follow the limits."""

import pytest

from aqualib.lesson.panels.safety_map import compute, describe, verdict
from aqualib.units import Q
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen


@pytest.mark.parametrize(("ph", "celsius", "salinity"), [(7.5, 25, 0.0), (8.2, 12, 35.0)])
def test_numbers_are_those_of_the_public_functions(ph, celsius, salinity):
    place = compute(0.8e-3, ph, celsius + 273.15, salinity)
    water = ph, Q(celsius, "degC"), salinity
    limits = total_ammonia_limits(*water)
    assert (place.chronic, place.acute) == pytest.approx(
        (limits.chronic.m_as("mg/L"), limits.acute.m_as("mg/L"))
    )
    unionised = unionised_ammonia_nitrogen(Q(0.8, "mg/L"), *water)
    assert place.unionised == pytest.approx(unionised.m_as("mg/L"))
    assert (place.total_ammonia, place.celsius) == pytest.approx((0.8, celsius))
    assert f"({100 * place.unionised / 0.8:.1f} %)" in describe(place)


def test_a_reading_on_a_limit_is_still_within_it():
    limits = {"chronic": 1.0, "acute": 5.0}
    assert verdict(1.0, **limits) == "below the long-term limit"
    assert verdict(1.1, **limits) == verdict(5.0, **limits) == "above the long-term limit"
    assert verdict(5.1, **limits) == "above the short-term limit: act now"
