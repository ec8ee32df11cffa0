"""Stages: order changes the loads and never the total; equal loads; sieving."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.capture.stages import (
    equal_load_efficiencies,
    equal_load_efficiency,
    grade_efficiency,
    staged_loads,
    time_to_limit,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

SHARES = np.array([0.30, 0.25, 0.25, 0.20])
COARSE = [0.05, 0.15, 0.40, 0.90]
MEDIUM = [0.10, 0.35, 0.75, 0.99]
FINE = [0.30, 0.70, 0.95, 1.0]


@pytest.mark.parametrize(
    ("order", "loads", "outlet"),
    [
        ((COARSE, MEDIUM, FINE), [0.3325, 0.235175, 0.2094625], 0.2228625),
        ((FINE, MEDIUM, COARSE), [0.7025, 0.056625, 0.0180125], 0.2228625),
        ((FINE,), [0.7025], 0.2975),
    ],
)
def test_loads_worked_by_hand(order, loads, outlet):
    staged = staged_loads(SHARES, order)
    np.testing.assert_allclose(staged.loads, loads, rtol=1e-9)
    assert staged.outlet.sum() == pytest.approx(outlet, rel=1e-9)
    assert staged.by_size.shape == (len(order), 4)


@given(st.lists(st.lists(st.floats(0, 1), min_size=4, max_size=4), min_size=1, max_size=4))
def test_order_changes_no_total_and_nothing_is_lost(efficiencies):
    outlets = [staged_loads(SHARES, order).outlet for order in permutations(efficiencies)]
    np.testing.assert_allclose(outlets, np.broadcast_to(outlets[0], np.shape(outlets)), atol=1e-12)
    staged = staged_loads(SHARES, efficiencies)
    assert staged.loads.sum() + staged.outlet.sum() == pytest.approx(1, rel=1e-9)


def test_the_order_does_change_the_loads():
    first = [staged_loads(SHARES, order).loads[0] for order in ((COARSE, FINE), (FINE, COARSE))]
    assert first[1] > 2 * first[0]


@pytest.mark.parametrize("layers", [2, 3, 10])
def test_thin_layers_are_one_pad(layers):
    whole = grade_efficiency.bare(40e-6, 80e-6)
    layer = grade_efficiency.bare(40e-6, 80e-6, 2.0, 1 / layers)
    assert 1 - (1 - layer) ** layers == pytest.approx(whole, rel=1e-12)


def test_no_depth_holds_nothing_and_the_hole_sieves():
    assert grade_efficiency(Q(80, "um"), Q(80, "um"), depth_ratio=0) == 0
    sizes = Q([99, 100, 101], "um")
    held = grade_efficiency(sizes, Q(80, "um"), aperture=Q(100, "um"))
    assert held[0] < 0.7
    assert held[1:].tolist() == [1, 1]


@given(st.floats(0, 1), st.integers(1, 12))
def test_equal_loads_are_equal_and_make_the_total(total, count):
    staged = staged_loads([1.0], equal_load_efficiencies(total, count)[:, None])
    np.testing.assert_allclose(staged.loads, total / count, rtol=1e-9, atol=1e-12)
    assert 1 - staged.outlet[0] == pytest.approx(total, abs=1e-12)


def test_strengths_of_equal_loads():
    shares = equal_load_efficiencies(0.9, 3)
    np.testing.assert_allclose(-np.log(1 - shares), [0.356675, 0.559616, 1.386294], atol=1e-6)
    np.testing.assert_array_equal(shares, equal_load_efficiencies.bare(0.9, 3))
    assert shares[1] == equal_load_efficiency(0.9, 3, 2)


@pytest.mark.parametrize("bad", [-0.1, 1.1, np.nan, "x", None, True, Q(1, "g"), [0.5, 0.6]])
def test_bad_total(bad):
    with pytest.raises(ValidityError, match="total"):
        equal_load_efficiencies(bad, 3)


@pytest.mark.parametrize("bad", [0, 2.5, np.inf, "3", None, True])
def test_bad_count(bad):
    with pytest.raises(ValidityError, match="stages"):
        equal_load_efficiencies(0.9, bad)


def test_no_stage_beyond_the_last():
    with pytest.raises(ValidityError, match="stage"):
        equal_load_efficiency(0.9, 3, 4)


def test_time_to_limit_is_in_proportion():
    pad = {"deposit_limit": 0.4, "deposit_density": 40.0, "efficiency": 0.5}
    once = time_to_limit.bare(0.04, 0.04, flow=2e-4, concentration=5e-3, **pad)
    assert time_to_limit.bare(0.08, 0.04, flow=4e-4, concentration=5e-3, **pad) == once
    assert time_to_limit.bare(0.04, 0.08, flow=2e-4, concentration=1e-2, **pad) == once


@pytest.mark.parametrize(
    ("inlet", "efficiencies", "name"),
    [
        ([50, 50], [[90, 10]], "efficiencies"),
        ([50, 50], [[-1, 0.1]], "efficiencies"),
        ([50, np.nan], [[0.5, 0.1]], "inlet"),
        ([50, -1], [[0.5, 0.1]], "inlet"),
        ([50, 50], [[0.5, 0.1, 0.2]], "efficiencies"),
        ([50, 50], [[[0.5, 0.1]]], "efficiencies"),
        ([[50, 50]], [[0.5, 0.1]], "efficiencies"),
        ([50, 50], "much", "efficiencies"),
        (None, [[0.5]], "inlet"),
    ],
)
def test_loads_that_cannot_be_are_refused(inlet, efficiencies, name):
    with pytest.raises(ValidityError) as caught:
        staged_loads(inlet, efficiencies)
    assert caught.value.parameter.partition("[")[0] == name


def test_loads_keep_the_unit_of_the_inlet():
    plain, grams = (
        staged_loads([50, 50], [[0.5, 0.1]]),
        staged_loads(Q([50, 50], "g"), [[0.5, 0.1]]),
    )
    np.testing.assert_array_equal(grams.loads.m_as("g"), plain.loads)
    np.testing.assert_array_equal(grams.outlet.m_as("g"), plain.outlet)
    np.testing.assert_array_equal(staged_loads([50, 50], [[0.5]]).outlet, [25, 25])
