"""Settling: three laws that agree where they should, and where they part."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.drag import v_terminal
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.filtration.capture.settling import (
    ferguson_church_velocity,
    settling_velocity,
    stokes_velocity,
    terminal_velocity,
)
from aqualib.units import Q
from aqualib.water.properties import density, dynamic_viscosity

COOL = Q(20, "degC")


def test_example_of_the_library():
    assert terminal_velocity(70e-6, 1600.0, 1000.0, 1e-3) == pytest.approx(4.142497e-3, rel=1e-6)
    assert v_terminal(70e-6, 2600.0, 1000.0, 1e-3) == pytest.approx(4.142497e-3, rel=1e-6)


def test_fines_obey_stokes():
    fine, heavy = Q([1, 5, 20], "um"), Q(1190, "kg/m**3")
    law = stokes_velocity(fine, heavy, COOL).m
    np.testing.assert_allclose(settling_velocity(fine, heavy, COOL).m, law, rtol=0.01)
    np.testing.assert_allclose(ferguson_church_velocity(fine, heavy, COOL).m, law, rtol=0.02)


@given(st.floats(20, 2000), st.floats(1050, 1500))
@settings(max_examples=50, deadline=None)
def test_balls_by_both_general_laws(diameter, heavy):
    ball = Q(diameter, "um"), Q(heavy, "kg/m**3"), COOL
    library = settling_velocity(*ball).m
    # Between slow and fast sinking the plain formula is up to a quarter too fast.
    assert ferguson_church_velocity(*ball, roughness=0.4).m == pytest.approx(library, rel=0.25)
    # Stokes leaves out what large pieces push aside, so it is never slower.
    assert stokes_velocity(*ball).m > 0.999 * library


def schiller_naumann(diameter: float, excess: float, heavy: float, thick: float) -> float:
    """Sinking worked out in time until it no longer changes."""
    velocity = 0.0
    for _ in range(20000):
        reynolds = max(heavy * velocity * diameter / thick, 1e-12)
        drag = 24 / reynolds * (1 + 0.15 * reynolds**0.687) * 0.75 * heavy * velocity**2 / diameter
        velocity += 0.02 * diameter**2 / thick * (excess * 9.80665 - drag)
    return velocity


@pytest.mark.parametrize(("microns", "heavy"), [(100, 1190), (500, 1190), (500, 1050)])
def test_against_motion_worked_out_in_time(microns, heavy):
    water, thick = density.bare(293.15), dynamic_viscosity.bare(293.15)
    moving = schiller_naumann(microns * 1e-6, heavy - water, water, thick)
    ours = settling_velocity(Q(microns, "um"), Q(heavy, "kg/m**3"), COOL)
    assert ours.m_as("m/s") == pytest.approx(moving, rel=0.05)


def test_light_pieces_rise_and_equal_ones_hang():
    water = density(COOL)
    heavier, lighter = Q(water.m + 50, "kg/m**3"), Q(water.m - 50, "kg/m**3")
    for law in (settling_velocity, stokes_velocity, ferguson_church_velocity):
        down, up = (law(Q(300, "um"), rho, COOL).m for rho in (heavier, lighter))
        assert up == pytest.approx(-down, rel=1e-9)
        assert law(Q(300, "um"), water, COOL).m == pytest.approx(0, abs=1e-9)


def test_salt_and_cold_slow_the_sinking():
    ball = Q(100, "um"), Q(1190, "kg/m**3")
    warm, cold = (settling_velocity(*ball, Q(t, "degC")).m for t in (25, 10))
    sea = settling_velocity(*ball, Q(25, "degC"), 35).m
    assert cold < warm
    assert sea < warm
