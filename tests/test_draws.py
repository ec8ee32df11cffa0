"""Draws and percentiles: evenly spread, half on each side, infinite values last."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.draws import at_share, band, between, drawn, nearest, of_the_next, percentile, span
from aqualib.parameters import parameter

ROWS = ("ammonia_oxidiser_growth", "nitrite_oxidiser_yield", "sea_film_capacity")
NUMBERS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=60).map(np.array)


@pytest.fixture(scope="module")
def sets():
    return drawn(ROWS, 500, np.random.default_rng(4))


@pytest.mark.parametrize("name", ROWS)
def test_each_part_of_the_distribution_gets_one_draw(sets, name):
    edges = at_share(name, np.linspace(0.0, 1.0, 501))
    counts, _ = np.histogram(sets[name], edges)
    assert np.all(counts == 1)
    row = parameter(name)
    assert at_share(name, np.array([0.0, 0.5, 1.0])) == pytest.approx(
        [row.low, row.value, row.high]
    )


def test_rows_go_their_own_ways(sets):
    apart = np.corrcoef(np.log([sets[name] for name in ROWS]))[np.triu_indices(3, 1)]
    assert np.abs(apart).max() < 0.15


@given(st.floats(0.01, 10.0), st.floats(1.01, 10.0), st.floats(1.01, 10.0))
def test_the_density_falls_in_a_straight_line(low, up, further):
    """A quarter of the way in probability is sqrt(1/2) of the way on the logarithmic scale."""
    value, high = low * up, low * up * further
    share = np.array([0.125, 0.875])
    found = np.log(between(low, value, high, share))
    ends = np.log([low, high]) + 0.5 * (np.log(value) - np.log([low, high]))
    np.testing.assert_allclose(found, ends, rtol=1e-9, atol=1e-9)


@given(NUMBERS, st.floats(0.0, 1.0))
def test_percentile_is_that_of_the_library(values, share):
    expected = np.percentile(values, 100.0 * share)
    assert percentile(values, share) == pytest.approx(expected, rel=1e-9, abs=1e-6)


@given(NUMBERS, st.floats(0.0, 1.0))
def test_the_next_draw_is_that_of_the_library(values, share):
    expected = np.percentile(values, 100.0 * share, method="weibull")
    assert of_the_next(values, share) == pytest.approx(expected, rel=1e-9, abs=1e-6)


def test_a_band_is_three_percentiles_of_each_row():
    values = np.random.default_rng(1).normal(size=(7, 83))
    np.testing.assert_allclose(band(values), np.percentile(values, [5, 50, 95], axis=1), rtol=1e-12)


def test_infinite_values_come_last_and_are_never_averaged():
    days = np.array([1.0, 2.0, 3.0, np.inf])
    assert [of_the_next(days, share) for share in (0.0, 0.2, 0.5, 0.7, 1.0)] == [
        1.0,
        1.0,
        2.5,
        np.inf,
        np.inf,
    ]
    assert [percentile(days, share) for share in (0.0, 0.5, 2.0 / 3.0, 0.7, 1.0)] == [
        1.0,
        2.5,
        3.0,
        np.inf,
        np.inf,
    ]
    assert of_the_next(np.array([5.0]), 0.9) == 5.0


def test_nearest_is_one_of_the_draws():
    rows = np.random.default_rng(2).normal(size=(40, 5))
    found = nearest(rows, 0.95)
    assert all(found[k] in rows[:, k] for k in range(5))
    np.testing.assert_array_equal(found, np.sort(rows, axis=0)[37])


def test_a_span_holds_its_best():
    draws = np.linspace(0.0, 1.0, 1001)
    assert span(0.5, draws) == pytest.approx((0.05, 0.5, 0.95), abs=0.002)
    assert span(2.0, draws).high == 2.0
    assert span(-1.0, draws).low == -1.0
    assert span(1.0, np.where(draws > 0.9, np.inf, draws)).high == np.inf
