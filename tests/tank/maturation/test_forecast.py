"""Bands: the draw, the percentiles, and that chunks count once whatever their order."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.maturation import forecast as module
from aqualib.tank.maturation import many_sets
from aqualib.tank.maturation.forecast import (
    bands,
    chunk_sizes,
    draw,
    one_chunk,
    output_times,
    together,
)
from aqualib.tank.maturation.rates import NAMES, OTHERS
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario
from aqualib.units import Q
from aqualib.validity import ValidityError

FEW = 60


@pytest.mark.parametrize("name", NAMES)
def test_draw_keeps_to_the_row(name):
    row, values = parameter(name), draw(1000, seed=0)[name]
    assert row.low <= values.min()
    assert values.max() <= row.high
    assert np.median(values) == pytest.approx(row.value, rel=0.01)


def test_what_is_no_kinetic_row_is_not_drawn():
    values = draw(10, seed=0)
    assert all(np.ndim(values[name]) == 0 for name in OTHERS)


def test_same_seed_same_sets():
    a, b, other = draw(20, seed=1), draw(20, seed=1), draw(20, seed=2)
    assert all(np.array_equal(a[name], b[name]) for name in NAMES)
    assert not np.array_equal(a[NAMES[0]], other[NAMES[0]])
    assert not np.array_equal(a[NAMES[0]], draw(20, seed=1, number=1)[NAMES[0]])


def test_bands_are_the_percentiles():
    scenario = Scenario()
    result, chunk = bands(scenario, sets=FEW), one_chunk(scenario, 0, FEW, 0)
    for name in ("ammonia", "nitrite", "nitrate"):
        expected = np.percentile(getattr(chunk, name), [5, 50, 95], axis=1)
        np.testing.assert_allclose(getattr(result, name), expected, rtol=1e-12, atol=1e-15)
    assert np.array_equal(result.time, output_times(scenario))
    assert result.share_ready == np.isfinite(chunk.ready_days).mean()


def test_best_values_lie_in_the_band():
    scenario = Scenario()
    result, best = bands(scenario, sets=200), simulate(scenario).course
    for name in ("ammonia", "nitrite", "nitrate"):
        band = getattr(result, name)
        value = getattr(best.state, name)[::2]
        assert np.all(value <= band.high + 1e-4)
        assert np.mean(value >= band.low) > 0.95


def test_ready_is_infinite_where_too_few_get_there():
    result = bands(Scenario(seed=1e-6, days=Q(36, "day")), sets=FEW)
    assert result.ready.high == np.inf
    assert 0 <= result.share_ready < 0.5


def test_all_ready_at_once():
    result = bands(Scenario(seed=1.0, load=Q(0, "g/day")), sets=5)
    assert result.ready == (0.0, 0.0, 0.0)
    assert result.share_ready == 1.0


def test_one_set_is_its_own_band():
    result = bands(Scenario(), sets=1)
    np.testing.assert_array_equal(result.nitrite.low, result.nitrite.high)


def test_a_seed_ten_times_larger_moves_the_whole_band():
    small, large = (
        bands(Scenario(seed=seed, days=Q(120, "day")), sets=200) for seed in (1e-4, 1e-3)
    )
    assert large.ready.low < small.ready.low
    assert large.ready.middle < small.ready.middle - 5


def test_chunks_count_once_whatever_their_order(monkeypatch):
    monkeypatch.setattr(module, "CHUNK", 20)
    scenario = Scenario()
    whole = bands(scenario, sets=50, seed=3)
    chunks = [one_chunk(scenario, number, size, 3) for number, size in chunk_sizes(50)]
    assert [len(chunk.ready_days) for chunk in chunks] == [20, 20, 10]
    shuffled = together(scenario, [chunks[2], chunks[0], chunks[2], chunks[1], chunks[0]])
    assert len(shuffled.ready_days) == 50
    assert np.array_equal(whole.ready_days, shuffled.ready_days)
    assert np.array_equal(whole.nitrite.high, shuffled.nitrite.high)


@pytest.mark.parametrize(
    "sets", [0, -1, 2.5, np.nan, "many", None, True, 2e6, [5], np.array([5, 6])]
)
def test_bad_sets(sets):
    with pytest.raises(ValidityError, match="sets"):
        bands(Scenario(), sets=sets)


@pytest.mark.parametrize("seed", [-1, 0.5, "x", None, [1], np.array([1, 2])])
def test_bad_seed(seed):
    with pytest.raises(ValidityError, match="seed"):
        bands(Scenario(), sets=2, seed=seed)


def test_a_whole_seed_may_be_written_as_any_number():
    one = bands(Scenario(), sets=2, seed=1).ready_days
    assert bands(Scenario(), sets=2, seed=1.0).ready_days.tolist() == one.tolist()


def test_not_a_scenario():
    with pytest.raises(ValidityError, match="scenario"):
        bands("tank", sets=2)


def test_bands_take_few_steps(monkeypatch):
    """About 220 steps of 1000 sets at once; a band that takes more is one gone astray."""
    steps, step = [], many_sets._step
    monkeypatch.setattr(many_sets, "_step", lambda *given: steps.append(1) or step(*given))
    bands(Scenario(), sets=1000)
    assert 0 < len(steps) < 400
