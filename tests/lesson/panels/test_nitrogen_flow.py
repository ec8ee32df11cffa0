"""Follow the food: the numbers are those of the public functions."""

import pytest

from aqualib.lesson.charts.nitrogen_flow import duration
from aqualib.lesson.panels.nitrogen_flow import compute
from aqualib.tank.load.nitrogen import ammonia_rise, nitrogen_budget
from aqualib.units import Q
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen
from aqualib.water.nitrogen import alkalinity_demand, oxygen_demand


@pytest.mark.parametrize(("ph", "celsius", "salinity"), [(7.5, 25, 0.0), (8.2, 12, 35.0)])
def test_numbers_are_those_of_the_public_functions(ph, celsius, salinity):
    day = compute(6e-3 / 86400, 0.4, ph, celsius + 273.15, salinity, 0.25, 36 * 3600.0)
    budget = nitrogen_budget(Q(6, "g/day"), 0.4)
    assert list(day.budget) == pytest.approx([part.m_as("mg/day") for part in budget])
    a_day = budget.total_ammonia * Q(1, "day")
    assert day.oxygen_bill == pytest.approx(oxygen_demand(a_day).m_as("g"))
    assert day.alkalinity_bill == pytest.approx(alkalinity_demand(a_day).m_as("g"))
    rise = ammonia_rise(budget.total_ammonia, Q(250, "L"))
    total = rise * Q(36, "h")
    assert day.total_ammonia == pytest.approx(total.m_as("mg/L"))
    water = ph, Q(celsius, "degC"), salinity
    unionised = unionised_ammonia_nitrogen(total.to("mg/L"), *water)
    assert day.unionised == pytest.approx(unionised.m_as("mg/L"))
    limits = total_ammonia_limits(*water)
    assert (day.chronic, day.acute) == pytest.approx(
        (limits.chronic.m_as("mg/L"), limits.acute.m_as("mg/L"))
    )
    assert day.hours_to_chronic == pytest.approx((limits.chronic / rise).m_as("h"))
    assert day.hours == pytest.approx(36.0)


def test_a_time_as_a_keeper_says_it():
    assert [duration(hours) for hours in (0.5, 2.0, 71.9, 96.0)] == [
        "30 minutes", "2 hours", "72 hours", "4 days",
    ]  # fmt: skip
