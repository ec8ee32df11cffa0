"""Biofilm: the closed forms against the equation itself, limits, and what is passed on."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import solve_banded
from scipy.special import iv

from aqualib.filtration.biofilm.effectiveness import (
    effectiveness_factor,
    half_order_flux,
    penetration_depth,
    thiele_modulus,
)
from aqualib.filtration.biofilm.zero_order import PIECE_SHAPES
from aqualib.units import Q

shapes = st.sampled_from(PIECE_SHAPES)
moduli = st.floats(1e-6, 1e5)
concentrations = st.floats(0.01, 20).map(lambda x: Q(x, "mg/L"))
rates = st.floats(10, 1e6).map(lambda x: Q(x, "g/m**3/day"))
diffusivities = st.floats(1e-10, 3e-9).map(lambda x: Q(x, "m**2/s"))
DIMENSIONS = {"slab": 1, "cylinder": 2, "sphere": 3}


def solved(modulus, shape, cells=4000):
    """Solve the reaction-diffusion equation in shells and return the effectiveness."""
    n = DIMENSIONS[shape]
    faces = np.linspace(0.0, 1.0, cells + 1)
    step = 1.0 / cells
    volumes = np.diff(faces**n) / n
    through = faces ** (n - 1) / step
    through[-1] *= 2.0
    bands = np.zeros((3, cells))
    bands[0, 1:] = -through[1:-1]
    bands[2, :-1] = -through[1:-1]
    bands[1] = through[:-1] * (np.arange(cells) > 0) + through[1:] + modulus**2 * volumes
    supply = np.zeros(cells)
    supply[-1] = through[-1]
    inside = solve_banded((1, 1), bands, supply)
    return float(volumes @ inside * n)


@pytest.mark.parametrize("shape", PIECE_SHAPES)
@pytest.mark.parametrize("modulus", [0.1, 0.5, 1, 2, 3, 5, 10, 50])
def test_effectiveness_is_that_of_the_solved_equation(modulus, shape):
    closed = effectiveness_factor(modulus, shape)
    assert closed == pytest.approx(solved(modulus, shape), rel=2e-5)


@given(st.floats(0.05, 50))
def test_effectiveness_is_that_of_the_familiar_formulas(modulus):
    coth = 1.0 / math.tanh(modulus)
    sphere = 3.0 / modulus**2 * (modulus * coth - 1.0)
    cylinder = 2.0 * iv(1, modulus) / (modulus * iv(0, modulus))
    assert effectiveness_factor(modulus, "slab") == pytest.approx(math.tanh(modulus) / modulus)
    assert effectiveness_factor(modulus, "sphere") == pytest.approx(sphere, rel=1e-9)
    assert effectiveness_factor(modulus, "cylinder") == pytest.approx(cylinder)


@pytest.mark.parametrize("shape", PIECE_SHAPES)
@pytest.mark.parametrize("modulus", [0.0, 1e-300, 1e-16, 1e-12, 1e-8, 1e-7])
def test_a_slow_reaction_uses_the_whole_piece(modulus, shape):
    assert effectiveness_factor(modulus, shape) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("shape", PIECE_SHAPES)
@pytest.mark.parametrize("modulus", [1e-3, 1e-2])
def test_small_moduli_follow_the_series(modulus, shape):
    # η = 1 - φ²/(n (n + 2)) × n ... : 1/3, 1/8, 1/15 for slab, cylinder and sphere.
    first = {"slab": 1 / 3, "cylinder": 1 / 8, "sphere": 1 / 15}[shape]
    left = 1.0 - effectiveness_factor(modulus, shape)
    assert left == pytest.approx(first * modulus**2, rel=2e-4)


@pytest.mark.parametrize("shape", PIECE_SHAPES)
def test_a_fast_reaction_works_in_the_skin(shape):
    value = effectiveness_factor(1e6, shape)
    assert value == pytest.approx(DIMENSIONS[shape] * 1e-6, rel=1e-5)
    expected = DIMENSIONS[shape] / 100
    assert effectiveness_factor(100, shape) == pytest.approx(expected, rel=0.0101)


@given(moduli, shapes)
def test_effectiveness_falls_with_the_modulus(modulus, shape):
    here = effectiveness_factor(modulus, shape)
    assert 0 < effectiveness_factor(1.01 * modulus, shape) <= here <= 1


@given(st.floats(0.1, 50))
def test_of_equal_size_the_ball_is_fed_best(modulus):
    slab, cylinder, sphere = (effectiveness_factor(modulus, shape) for shape in PIECE_SHAPES)
    assert slab < cylinder < sphere


@given(st.lists(moduli, min_size=2, max_size=5), shapes)
def test_an_array_is_the_same_as_its_numbers(many, shape):
    together = effectiveness_factor(np.array(many), shape)
    assert together == pytest.approx([effectiveness_factor(one, shape) for one in many], rel=1e-12)


@given(concentrations, rates, diffusivities)
def test_depth_times_rate_is_the_flux(concentration, rate, diffusivity):
    depth = penetration_depth(concentration, rate, diffusivity)
    flux = half_order_flux(concentration, rate, diffusivity)
    assert (depth * rate).m_as("g/m**2/day") == pytest.approx(flux.m_as("g/m**2/day"))
    deeper = penetration_depth(4 * concentration, rate, diffusivity)
    assert (deeper / depth).m_as("") == pytest.approx(2, abs=1e-12)
    thinner = penetration_depth(concentration, 4 * rate, diffusivity)
    assert (thinner / depth).m_as("") == pytest.approx(0.5, abs=1e-12)
    more = half_order_flux(concentration, 4 * rate, diffusivity)
    assert (more / flux).m_as("") == pytest.approx(2, abs=1e-12)


def test_no_oxygen_reaches_nowhere():
    args = (Q(0, "mg/L"), Q(1000, "g/m**3/day"), Q(1e-9, "m**2/s"))
    assert penetration_depth(*args).m == 0
    assert half_order_flux(*args).m == 0


@given(st.floats(0.01, 100), st.floats(0, 1e5), diffusivities)
def test_modulus_goes_with_the_size_and_the_root_of_the_rate(size, constant, diffusivity):
    here = thiele_modulus(Q(size, "mm"), Q(constant, "1/day"), diffusivity)
    assert thiele_modulus(Q(2 * size, "mm"), Q(constant, "1/day"), diffusivity) == pytest.approx(
        2 * here
    )
    assert thiele_modulus(Q(size, "mm"), Q(4 * constant, "1/day"), diffusivity) == pytest.approx(
        2 * here
    )


def test_bare_twins_take_si_numbers():
    assert penetration_depth.bare(8e-3, 20.0 / 86400, 1e-9) == pytest.approx(262.907e-6, rel=1e-5)
    assert half_order_flux.bare(8e-3, 20.0 / 86400, 1e-9) * 86400e3 == pytest.approx(5.25814)
    assert thiele_modulus.bare(1e-3, 1e-3, 1e-9) == pytest.approx(1.0)
