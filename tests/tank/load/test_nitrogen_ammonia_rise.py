"""Ammonia without a filter: how fast it rises, and how long until a limit."""

from __future__ import annotations

import pytest

from aqualib.tank.load.nitrogen import ammonia_rise, time_to_reach
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_rise_is_shared_by_the_water():
    assert ammonia_rise(Q(0.414, "g/day"), Q(100, "L")).m == pytest.approx(4.14)
    halves = ammonia_rise(Q(0.414, "g/day"), Q([100, 50], "L")).m
    assert halves[1] == pytest.approx(2 * halves[0])


def test_time_to_reach():
    rise = Q(4, "mg/L/day")
    assert time_to_reach(Q(2, "mg/L"), Q(0, "mg/L"), rise).m == pytest.approx(12.0)
    assert time_to_reach(Q(2, "mg/L"), Q(2, "mg/L"), rise).m == 0.0
    assert time_to_reach(Q(2, "mg/L"), Q(1, "mg/L"), rise).m_as("day") == pytest.approx(0.25)


def test_a_limit_already_passed_is_refused():
    with pytest.raises(ValidityError, match=r"limit = 1 mg/L is below `start`"):
        time_to_reach(Q(1, "mg/L"), Q(2, "mg/L"), Q(4, "mg/L/day"))
    with pytest.raises(ValidityError, match=r"limit = 5 mg/L is below `start`"):
        time_to_reach(Q([1, 5], "mg/L"), Q([0, 6], "mg/L"), Q(4, "mg/L/day"))
    with pytest.raises(ValidityError, match="rise"):
        time_to_reach(Q(1, "mg/L"), Q(0, "mg/L"), Q(0, "mg/L/day"))
