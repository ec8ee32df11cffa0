"""The tank in a loop: exact, and the long run as its limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.capture.recirculation import concentration_after, steady_concentration
from aqualib.units import Q

TANK = {"production": 2e-8, "flow": 3e-4, "efficiency": 0.4, "volume": 0.2}


@given(st.floats(0, 0.1), st.floats(0, 1e5), st.floats(0, 1e5), st.floats(0, 1))
def test_two_steps_are_one(initial, first, second, efficiency):
    tank = {**TANK, "efficiency": efficiency}
    halfway = concentration_after.bare(initial, **tank, time=first)
    ours = concentration_after.bare(halfway, **tank, time=second)
    assert ours == pytest.approx(
        concentration_after.bare(initial, **tank, time=first + second), rel=1e-9, abs=1e-15
    )


def test_long_run_from_both_sides():
    steady = steady_concentration.bare(TANK["production"], TANK["flow"], TANK["efficiency"])
    for initial in (0.0, 1.0):
        after = concentration_after.bare(initial, **TANK, time=1e6)
        assert after == pytest.approx(steady, rel=1e-9)


def test_no_filter_piles_up():
    days = Q([0, 1, 10], "day")
    piled = concentration_after(Q(1, "mg/L"), Q(2, "g/day"), Q(1000, "L/h"), 0, Q(200, "L"), days)
    np.testing.assert_allclose(piled.m_as("mg/L"), [1, 11, 101])


def test_ten_turnovers_by_a_tenth_clear_as_well_as_one_by_all():
    few = concentration_after.bare(0.01, 0.0, 1e-4, 1.0, 0.2, 3600.0)
    many = concentration_after.bare(0.01, 0.0, 1e-3, 0.1, 0.2, 3600.0)
    assert few == pytest.approx(many, rel=1e-12)
