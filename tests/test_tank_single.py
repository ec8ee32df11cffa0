"""The solver for one set against closed formulas."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import odeint

from aqualib.tank import single
from aqualib.tank.course import Problem
from aqualib.tank.growth import Growth
from aqualib.tank.start_up import lowest_substrate, nitrite_peak
from aqualib.units import Q
from aqualib.validity import ValidityError

# Nothing slows, nothing moves between film and water, and there is no end of room.
IDLE = Growth(
    growth_a=0.8,
    growth_n=0.6,
    decay_a=0.05,
    decay_n=0.04,
    loss=0.0,
    per_yield_a=4.0,
    per_yield_n=16.0,
    cells_nitrogen=0.0,
    half_a=1.0,
    half_n=1.0,
    ammonia_on_a=0.0,
    acid_on_a=0.0,
    ammonia_on_n=0.0,
    acid_on_n=0.0,
    half_alkalinity=0.0,
    full_a=1e12,
    full_n=1e12,
    attach=0.0,
    detach=0.0,
    available=1.0,
    ammonia_shape=0.0,
    acid_shape=0.0,
    ion_share=0.0,
)


def problem(load=0.0, **changes):
    return Problem(IDLE._replace(**changes), load, 100.0, 0.0, 0.0, 0.0)


def start(ammonia, nitrite, a, n):
    """Cells in film only; a millionth of them in the water."""
    return [ammonia, nitrite, a, 1e-6 * a, n, 1e-6 * n]


def test_growth_is_exponential_while_there_is_plenty():
    times = np.linspace(0.0, 10.0, 11)
    rows = single.solve(problem(), start(1e9, 1e9, 1e-3, 2e-3), times)
    np.testing.assert_allclose(rows[2], 1e-3 * np.exp((0.8 - 0.05) * times), rtol=1e-5)
    np.testing.assert_allclose(rows[4], 2e-3 * np.exp((0.6 - 0.04) * times), rtol=1e-5)


def test_dying_is_exponential_while_there_is_nothing():
    times = np.linspace(0.0, 30.0, 7)
    rows = single.solve(problem(), start(0.0, 0.0, 1.0, 1.0), times)
    np.testing.assert_allclose(rows[2], np.exp(-0.05 * times), rtol=1e-5)


def chemostat(solve, columns=1):
    """Cells that may only live in the water, from which a tenth is washed out each day."""
    washed = problem(load=1.0, loss=0.1)
    # So little film that it comes to nothing before the end.
    first = [1.0, 0.0, 1e-40, 0.1, 1e-40, 0.1]
    if columns > 1:
        first = [np.full(columns, value) for value in first]
    return solve(washed, first, np.array([0.0, 200.0, 400.0]))


def test_chemostat_leaves_the_residual_of_the_formula():
    rows = chemostat(single.solve)
    rates = (Q(0.8, "1/day"), Q(0.05, "1/day"), Q(10, "day"))
    expected = lowest_substrate(Q(1, "mg/L"), *rates).m
    assert expected == pytest.approx(0.23077, abs=5e-6)
    assert rows[0][-1] == pytest.approx(expected, rel=1e-4)
    nitrite = lowest_substrate(Q(1, "mg/L"), Q(0.6, "1/day"), Q(0.04, "1/day"), Q(10, "day")).m
    assert rows[1][-1] == pytest.approx(nitrite, rel=1e-4)


def chain(solve, k1, k2, ammonia, times, columns=1):
    """So many cells, and so hungry, that both steps are of first order and no cell is added."""
    cells, half = 1e6, 1e6
    first_order = problem(
        growth_a=k1 * half / (4.0 * cells),
        growth_n=k2 * half / (16.0 * cells),
        half_a=half,
        half_n=half,
        decay_a=0.0,
        decay_n=0.0,
    )
    first = start(ammonia, 0.0, cells, cells)
    if columns > 1:
        first = [np.full(columns, value) for value in first]
    return solve(first_order, first, times)


@pytest.mark.parametrize(("k1", "k2", "ammonia"), [(0.25, 0.15, 4.0), (0.4, 0.1, 5.0)])
def test_chain_of_first_order_reactions(k1, k2, ammonia):
    peak = nitrite_peak(Q(ammonia, "mg/L"), Q(k1, "1/day"), Q(k2, "1/day"))
    times = np.array([0.0, 1.0, peak.time.m, 20.0])
    rows = chain(single.solve, k1, k2, ammonia, times)
    np.testing.assert_allclose(rows[0], ammonia * np.exp(-k1 * times), rtol=2e-4, atol=1e-5)
    nitrite = ammonia * k1 / (k2 - k1) * (np.exp(-k1 * times) - np.exp(-k2 * times))
    np.testing.assert_allclose(rows[1], nitrite, rtol=2e-4, atol=1e-5)
    assert rows[1][2] == pytest.approx(peak.concentration.m, rel=1e-4)


def test_film_never_holds_more_than_it_can():
    crowded = problem(load=50.0, full_a=2.0, full_n=1.0, loss=1.0)
    rows = single.solve(crowded, start(1.0, 1.0, 0.01, 0.01), np.linspace(0.0, 60.0, 61))
    assert rows[2].max() < 2.0
    assert rows[4].max() < 1.0
    # What finds no room is eaten, so ammonia runs away.
    assert rows[0][-1] > 100.0


def test_solver_that_gives_up_says_so(monkeypatch):
    def gives_up(*args, **kwargs):
        found, report = odeint(*args, **kwargs)
        return found, {**report, "message": "Excess work done"}

    monkeypatch.setattr(single, "odeint", gives_up)
    with pytest.raises(ValidityError, match="scenario = Excess work done"):
        single.solve(problem(), start(1.0, 1.0, 1.0, 1.0), np.array([0.0, 1.0]))
