"""The solver for one set against closed formulas."""

from __future__ import annotations

import numpy as np
import pytest
from chemostats import chain, chemostat, problem, start
from scipy.integrate import odeint

from aqualib.tank.maturation import one_set
from aqualib.tank.maturation.start_up import lowest_substrate, nitrite_peak
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_growth_is_exponential_while_there_is_plenty():
    times = np.linspace(0.0, 10.0, 11)
    rows = one_set.solve(problem(), start(1e9, 1e9, 1e-3, 2e-3), times)
    np.testing.assert_allclose(rows[2], 1e-3 * np.exp((0.8 - 0.05) * times), rtol=1e-5)
    np.testing.assert_allclose(rows[4], 2e-3 * np.exp((0.6 - 0.04) * times), rtol=1e-5)


def test_dying_is_exponential_while_there_is_nothing():
    times = np.linspace(0.0, 30.0, 7)
    rows = one_set.solve(problem(), start(0.0, 0.0, 1.0, 1.0), times)
    np.testing.assert_allclose(rows[2], np.exp(-0.05 * times), rtol=1e-5)


def test_chemostat_leaves_the_residual_of_the_formula():
    rows = chemostat(one_set.solve)
    rates = (Q(0.8, "1/day"), Q(0.05, "1/day"), Q(10, "day"))
    expected = lowest_substrate(Q(1, "mg/L"), *rates).m
    assert expected == pytest.approx(0.23077, abs=5e-6)
    assert rows[0][-1] == pytest.approx(expected, rel=1e-4)
    nitrite = lowest_substrate(Q(1, "mg/L"), Q(0.6, "1/day"), Q(0.04, "1/day"), Q(10, "day")).m
    assert rows[1][-1] == pytest.approx(nitrite, rel=1e-4)


@pytest.mark.parametrize(("k1", "k2", "ammonia"), [(0.25, 0.15, 4.0), (0.4, 0.1, 5.0)])
def test_chain_of_first_order_reactions(k1, k2, ammonia):
    peak = nitrite_peak(Q(ammonia, "mg/L"), Q(k1, "1/day"), Q(k2, "1/day"))
    times = np.array([0.0, 1.0, peak.time.m, 20.0])
    rows = chain(one_set.solve, k1, k2, ammonia, times)
    np.testing.assert_allclose(rows[0], ammonia * np.exp(-k1 * times), rtol=2e-4, atol=1e-5)
    nitrite = ammonia * k1 / (k2 - k1) * (np.exp(-k1 * times) - np.exp(-k2 * times))
    np.testing.assert_allclose(rows[1], nitrite, rtol=2e-4, atol=1e-5)
    assert rows[1][2] == pytest.approx(peak.concentration.m, rel=1e-4)


def test_film_never_holds_more_than_it_can():
    crowded = problem(load=50.0, full_a=2.0, full_n=1.0, loss=1.0)
    rows = one_set.solve(crowded, start(1.0, 1.0, 0.01, 0.01), np.linspace(0.0, 60.0, 61))
    assert rows[2].max() < 2.0
    assert rows[4].max() < 1.0
    # What finds no room is eaten, so ammonia runs away.
    assert rows[0][-1] > 100.0


def test_solver_that_gives_up_says_so(monkeypatch):
    def gives_up(*args, **kwargs):
        found, report = odeint(*args, **kwargs)
        return found, {**report, "message": "Excess work done"}

    monkeypatch.setattr(one_set, "odeint", gives_up)
    with pytest.raises(ValidityError, match="scenario = Excess work done"):
        one_set.solve(problem(), start(1.0, 1.0, 1.0, 1.0), np.array([0.0, 1.0]))
