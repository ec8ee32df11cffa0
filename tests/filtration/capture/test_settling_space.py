"""Settling space: published problems, and the ideal basin as the upper limit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.capture.settling import (
    basin_settled_fraction,
    overflow_rate,
    settled_fraction,
    settling_velocity,
)
from aqualib.units import Q


def test_class_table_of_a_textbook_exercise():
    """Overflow rate 2.0 m/h; 79.0 % of the particles are removed."""
    middles = Q(np.arange(0.25, 4, 0.5), "m/hour")
    counts = np.array([30, 50, 90, 110, 100, 70, 30, 20])
    removed = settled_fraction(middles, Q(2.0, "m/hour")) @ counts / counts.sum()
    assert 100 * removed == pytest.approx(79.0, abs=0.05)


def test_sand_in_a_town_basin():
    rate = overflow_rate(Q(80000, "m**3/day").to("L/h") / 1000, Q(900, "m**2") / 1000)
    sand = settling_velocity(Q(10, "um"), Q(2650, "kg/m**3"), Q(20, "degC"))
    assert settled_fraction(sand, rate) == pytest.approx(0.087, abs=0.001)


@given(st.floats(0, 100), st.floats(0.01, 100), st.floats(1, 50))
def test_real_is_below_ideal_and_more_cells_do_better(velocity, rate, cells):
    ideal = settled_fraction.bare(velocity, rate)
    real = basin_settled_fraction.bare(velocity, rate, cells)
    assert 0 <= real <= ideal + 1e-12
    assert real <= basin_settled_fraction.bare(velocity, rate, cells + 1) + 1e-12


def test_very_many_cells():
    many = basin_settled_fraction.bare(1.0, 1.0, 1e7)
    assert many == pytest.approx(1 - np.exp(-1), rel=1e-6)


def test_cells_in_a_row_share_the_floor():
    one_of_three = basin_settled_fraction.bare(1.0, 2.0 * 3)
    assert basin_settled_fraction.bare(1.0, 2.0, 3.0) == pytest.approx(1 - (1 - one_of_three) ** 3)


def test_a_canister_lets_fines_through():
    """At 490 m a day, far above the 40 to 80 of farms, nothing below 200 µm is held whole."""
    rate = overflow_rate(Q(1000, "L/h"), Q(np.pi / 4 * 25**2, "cm**2"))
    assert rate.m_as("m/day") == pytest.approx(489, abs=0.5)
    dirt = settling_velocity(Q([20, 100, 500], "um"), Q(1190, "kg/m**3"), Q(20, "degC"))
    held = settled_fraction(dirt, rate)
    assert held[0] < 0.01
    assert held[1] < 0.2
    assert held[2] == 1
