"""Packed beds: limits, sums, and the library beside our own equation."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.packed_bed import Ergun, dP_packed_bed
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.hydraulics.packed_bed import (
    bed_pressure_loss,
    ergun_pressure_loss,
)
from aqualib.units import Q
from aqualib.water.properties import density, dynamic_viscosity

WATER = {"density": 998.2, "viscosity": 1.002e-3}


def loss(velocity=1e-3, depth=0.1, diameter=1e-3, voidage=0.4, **water):
    return ergun_pressure_loss.bare(velocity, depth, diameter, voidage, **{**WATER, **water})


@given(
    st.floats(1e-6, 1),
    st.floats(1e-5, 0.1),
    st.floats(0.2, 0.95),
    st.floats(0.1, 2000),
    st.floats(1e-5, 1),
)
def test_same_as_the_library(velocity, diameter, voidage, density, viscosity):
    ours = ergun_pressure_loss.bare(velocity, 1.0, diameter, voidage, density, viscosity)
    library = Ergun(diameter, voidage, velocity, density, viscosity, 1.0)
    assert ours == pytest.approx(library, rel=1e-12)


def test_slow_water_feels_friction_and_fast_water_corners():
    slow, fast = 1e-9, 1e6
    assert loss(2 * slow) / loss(slow) == pytest.approx(2, rel=1e-6)
    assert loss(2 * fast) / loss(fast) == pytest.approx(4, rel=1e-6)
    assert loss(slow, diameter=5e-4) / loss(slow) == pytest.approx(4, rel=1e-6)
    assert loss(fast, diameter=5e-4) / loss(fast) == pytest.approx(2, rel=1e-6)


def test_beds_in_series_add():
    assert loss(depth=0.1) + loss(depth=0.3) == pytest.approx(loss(depth=0.4), rel=1e-12)


def test_no_flow_and_no_depth_cost_nothing():
    bed = {"depth": Q(0, "m"), "diameter": Q(1, "mm"), "voidage": 0.4, "temperature": Q(20, "degC")}
    assert bed_pressure_loss(Q(0, "m/s"), **{**bed, "depth": Q(1, "m")}).m == 0
    assert bed_pressure_loss(Q(1, "cm/s"), **bed).m == 0


def test_cold_and_salt_water_cost_more():
    bed = {"depth": Q(1, "m"), "diameter": Q(1, "mm"), "voidage": 0.4}
    slow = Q(1, "mm/s")
    warm, cold = (bed_pressure_loss(slow, **bed, temperature=Q(t, "degC")).m for t in (25, 10))
    sea = bed_pressure_loss(slow, **bed, temperature=Q(25, "degC"), salinity=35).m
    assert cold / warm == pytest.approx(1.306 / 0.890, rel=0.02)
    assert warm < sea < 1.15 * warm


@pytest.mark.parametrize("diameter", [1, 5, 15])
def test_two_fits_agree_within_their_scatter(diameter):
    bed = {"depth": Q(0.2, "m"), "diameter": Q(diameter, "mm"), "voidage": 0.4}
    velocity, cool = Q(np.array([1, 5, 20]), "mm/s"), Q(20, "degC")
    ours = bed_pressure_loss(velocity, **bed, temperature=cool).m
    water = density.bare(293.15), dynamic_viscosity.bare(293.15)
    # The library's own choice among the fits, another than Ergun's.
    library = [0.2 * dP_packed_bed(diameter * 1e-3, 0.4, v, *water) for v in velocity.m_as("m/s")]
    np.testing.assert_allclose(library, ours, rtol=0.15)
