"""Hoses: friction at both ends of its range, and against explicit formulas."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.hose import (
    friction_factor,
    hose_head_loss,
    pipe_velocity,
    reynolds_number,
)
from aqualib.parameters import parameter
from aqualib.units import Q

COOL = Q(20, "degC")


@pytest.mark.parametrize("reynolds", [1, 500, 2000])
def test_slow_flow_has_the_exact_law(reynolds):
    assert friction_factor(reynolds) == pytest.approx(64 / reynolds, rel=1e-12)


@pytest.mark.parametrize("roughness", [0, 1e-5, 1e-3, 1e-2])
def test_fast_flow_solves_colebrook(roughness):
    reynolds = np.geomspace(4000, 1e8, 20)
    root = friction_factor(reynolds, roughness) ** -0.5
    right = -2 * np.log10(roughness / 3.7 + 2.51 * root / reynolds)
    # The library has the constants 3.7 and 2.51 with one more digit each.
    np.testing.assert_allclose(root, right, rtol=1e-3)


@pytest.mark.parametrize("roughness", [1e-5, 1e-4, 1e-3])
def test_explicit_formulas_lie_within_two_per_cent(roughness):
    reynolds = np.geomspace(5000, 1e7, 20)
    solved = friction_factor(reynolds, roughness)
    haaland = (-1.8 * np.log10((roughness / 3.7) ** 1.11 + 6.9 / reynolds)) ** -2
    swamee_jain = 0.25 / np.log10(roughness / 3.7 + 5.74 / reynolds**0.9) ** 2
    np.testing.assert_allclose(haaland, solved, rtol=0.02)
    # Swamee and Jain's own formula is 3 % high at its lower end.
    np.testing.assert_allclose(swamee_jain, solved, rtol=0.032)


def test_still_water_loses_nothing():
    assert friction_factor(0) == 0
    hose = Q(16, "mm"), Q(3, "m"), COOL
    assert hose_head_loss(Q(0, "L/h"), *hose).m == 0
    assert hose_head_loss(Q([0, 1e-9], "L/h"), *hose).m == pytest.approx([0, 0], abs=1e-12)


def test_slow_flow_follows_poiseuille():
    flow, bore, length = Q(20, "L/h"), Q(16, "mm"), Q(1, "m")
    head = hose_head_loss(flow, bore, length, COOL)
    viscosity, weight = Q(1.0016, "mPa*s"), Q(998.207 * 9.80665, "N/m**3")
    exact = 128 * viscosity * length * flow / (np.pi * bore**4 * weight)
    assert head.m_as("mm") == pytest.approx(exact.m_as("mm"), rel=1e-3)


def test_length_adds_and_the_row_is_the_default():
    flow, bore = Q(1000, "L/h"), Q(16, "mm")
    one, three = (hose_head_loss(flow, bore, Q(n, "m"), COOL).m for n in (1, 3))
    assert three == pytest.approx(3 * one)
    given = hose_head_loss(flow, bore, Q(1, "m"), COOL, parameter("hose_roughness").quantity)
    assert given.m == pytest.approx(one, rel=1e-12)


def test_a_quarter_less_bore_takes_four_times_the_head():
    wide, narrow = (
        hose_head_loss(Q(1000, "L/h"), Q(bore, "mm"), Q(3, "m"), COOL).m for bore in (16, 12)
    )
    assert 3.8 < narrow / wide < 4.1


def test_velocity_times_area_is_the_flow():
    assert pipe_velocity(2e-4, 0.016) * np.pi / 4 * 0.016**2 == pytest.approx(2e-4)
    sea, fresh = (reynolds_number(Q(1, "m**3/h"), Q(2, "cm"), COOL, s) for s in (35, 0))
    assert sea < fresh
