"""Cores without oxygen: the equation solved another way, limits, order of the shapes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from aqualib.filtration.biofilm.effectiveness import penetration_depth
from aqualib.filtration.biofilm.zero_order import (
    DIMENSIONS,
    PIECE_SHAPES,
    anoxic_share,
    core_size,
    full_penetration_size,
    zero_order_effectiveness,
)
from aqualib.units import Q

OXYGEN, RATE, SPREAD = Q(8, "mg/L"), Q(20000, "g/m**3/day"), Q(1e-9, "m**2/s")
shapes = st.sampled_from(PIECE_SHAPES)
# Size as a multiple of the largest that is fed to its middle.
multiples = st.floats(0.2, 200)


def of(function, multiple, shape):
    size = multiple * full_penetration_size(OXYGEN, RATE, SPREAD, shape)
    return function(size, OXYGEN, RATE, SPREAD, shape), size


def balance(x, shape):
    """1 with no core, 0 with nothing but core: what feeds the shell outside x."""
    if shape == "slab":
        return (1 - x) ** 2
    if shape == "cylinder":
        return 1 - x**2 + (2 * x**2 * np.log(x) if x > 0 else 0.0)
    return 1 - 3 * x**2 + 2 * x**3


@given(multiples, shapes)
def test_core_solves_the_balance(multiple, shape):
    core, size = of(core_size, multiple, shape)
    x = (core / size).m_as("")
    wanted = min(1.0, multiple**-2)
    assert balance(x, shape) == pytest.approx(wanted, abs=1e-12)
    if multiple > 1.01:
        root = brentq(lambda y: balance(y, shape) - wanted, 0.0, 1.0, xtol=1e-15)
        assert x == pytest.approx(root, abs=1e-11)


@pytest.mark.parametrize("shape", PIECE_SHAPES)
@pytest.mark.parametrize("multiple", [1.05, 2, 8])
def test_going_outward_from_the_core_reaches_the_surface_concentration(multiple, shape):
    core, size = of(core_size, multiple, shape)
    start, end = core.m_as("m"), size.m_as("m")
    n, pace = DIMENSIONS[shape], RATE.m_as("kg/m**3/s") / SPREAD.m_as("m**2/s")

    def slopes(r, state):
        return [state[1], pace - (n - 1) / r * state[1]]

    run = solve_ivp(slopes, (start, end), [0.0, 0.0], rtol=1e-10, atol=1e-14, max_step=end / 200)
    assert run.y[0, -1] == pytest.approx(OXYGEN.m_as("kg/m**3"), rel=1e-6)


@given(multiples, shapes)
def test_shares_add_up(multiple, shape):
    idle, size = of(anoxic_share, multiple, shape)
    busy, _ = of(zero_order_effectiveness, multiple, shape)
    core, _ = of(core_size, multiple, shape)
    assert idle + busy == pytest.approx(1, abs=1e-12)
    assert idle == pytest.approx((core / size).m_as("") ** DIMENSIONS[shape], abs=1e-12)
    assert 0 <= core <= size


@given(st.floats(0.01, 0.999), shapes)
def test_small_pieces_have_no_core(multiple, shape):
    core, _ = of(core_size, multiple, shape)
    busy, _ = of(zero_order_effectiveness, multiple, shape)
    assert core.m == pytest.approx(0, abs=1e-12)
    assert busy == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("shape", PIECE_SHAPES)
def test_in_a_large_piece_the_shell_is_as_thick_as_in_a_flat_layer(shape):
    core, size = of(core_size, 2e3, shape)
    flat = penetration_depth(OXYGEN, RATE, SPREAD)
    assert ((size - core) / flat).m_as("") == pytest.approx(1, rel=1e-3)


@given(multiples, shapes)
def test_a_larger_piece_has_a_larger_core_and_works_less_well(multiple, shape):
    core, _ = of(core_size, multiple, shape)
    busy, _ = of(zero_order_effectiveness, multiple, shape)
    larger, _ = of(core_size, 1.1 * multiple, shape)
    worse, _ = of(zero_order_effectiveness, 1.1 * multiple, shape)
    assert larger >= core
    assert worse <= busy + 1e-12


def test_a_ball_may_be_thicker_than_a_wall():
    slab, cylinder, sphere = (
        full_penetration_size(OXYGEN, RATE, SPREAD, s).m for s in PIECE_SHAPES
    )
    assert cylinder / slab == pytest.approx(2**0.5)
    assert sphere / slab == pytest.approx(3**0.5)


def test_without_oxygen_all_is_core():
    none = Q(0, "mg/L")
    for shape in PIECE_SHAPES:
        assert core_size(Q(5, "mm"), none, RATE, SPREAD, shape).m == pytest.approx(5)
        assert anoxic_share(Q(5, "mm"), none, RATE, SPREAD, shape) == 1.0
        assert zero_order_effectiveness(Q(5, "mm"), none, RATE, SPREAD, shape) == 0.0


@pytest.mark.parametrize("shape", PIECE_SHAPES)
def test_an_array_is_the_same_as_its_numbers(shape):
    sizes = [0.1, 0.5, 3.0, 20.0]
    together = anoxic_share(Q(sizes, "mm"), OXYGEN, RATE, SPREAD, shape)
    one_by_one = [anoxic_share(Q(one, "mm"), OXYGEN, RATE, SPREAD, shape) for one in sizes]
    assert together == pytest.approx(one_by_one, rel=1e-14)
