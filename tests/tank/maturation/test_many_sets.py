"""The solver for many sets: its order, closed formulas, and the solver for one set."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from chemostats import chain, chemostat, problem, start

from aqualib.tank.maturation import many_sets, one_set
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.course import play
from aqualib.tank.maturation.forecast import draw, output_times
from aqualib.tank.maturation.scenario import Scenario, repeat
from aqualib.units import Q
from aqualib.validity import ValidityError

WEEKLY = repeat(s.WaterChange(Q(7, "day"), 0.25), every=Q(7, "day"), until=Q(56, "day"))
ROUGH = (
    s.Ultraviolet(Q(0, "day")),
    s.PowerCut(Q(20, "day"), Q(1, "day")),
    s.Cleaning(Q(30, "day"), 0.5),
    s.Dose(Q(40, "day"), Q(3, "mg/L")),
)
CASES = {
    "plain": {},
    "weekly change": {"events": WEEKLY},
    "sea": {"salinity": 35, "ph": 8.1, "seed": 1e-3},
    "falling alkalinity": {"alkalinity_kept": False},
    "sour": {"ph": 7.0, "alkalinity_kept": False, "events": WEEKLY},
    "air": {"surface_exchange": Q(12, "1/day"), "breathing": Q(2, "g/day")},
    "rough": {"events": ROUGH, "seed_in_water": 0.9, "seed": 1e-3},
    "heavy": {"seed": 0.5, "load": Q(1, "g/day")},
}
# Worst of all sets at any time, as a share of the largest value of any set.
ALLOWED = {"falling alkalinity": 0.03, "sour": 0.05, "rough": 0.02}


def one_by_one(scenario, values, times, sets):
    """The same sets with the other solver, at a tight tolerance."""

    def tight(*given):
        return one_set.solve(*given, relative=1e-9, absolute=1e-9)

    found = []
    for place in range(sets):
        own = {k: (float(v[place]) if np.ndim(v) else v) for k, v in values.items()}
        state = play(scenario, own, tight, times).state
        found.append((state.ammonia, state.nitrite, state.nitrate))
    return np.array(found).transpose(1, 2, 0)


@pytest.mark.parametrize("case", CASES)
def test_agrees_with_the_solver_for_one_set(case):
    scenario = Scenario(**CASES[case])
    values, times = draw(24, seed=3), output_times(scenario)
    state = play(scenario, values, many_sets.solve, times).state
    ours = np.array((state.ammonia, state.nitrite, state.nitrate))
    theirs = one_by_one(scenario, values, times, 24)
    worst = np.abs(ours - theirs).max(axis=(1, 2)) / np.abs(theirs).max(axis=(1, 2))
    assert worst.max() < ALLOWED.get(case, 0.006)


def test_band_error():
    """Within 2e-3 of the peak of the middle of the band, over 300 sets."""
    scenario = Scenario()
    values, times = draw(300, seed=1), output_times(scenario)
    state = play(scenario, values, many_sets.solve, times).state
    theirs = one_by_one(scenario, values, times, 300)
    for ours, true in zip((state.ammonia, state.nitrite, state.nitrate), theirs, strict=True):
        a, b = (np.percentile(x, [5, 50, 95], axis=1) for x in (ours, true))
        assert np.abs(a - b).max() / b[1].max() < 2e-3


def test_growth_is_exponential_while_there_is_plenty():
    times = np.linspace(0.0, 10.0, 11)
    first = [np.full(3, value) for value in start(1e9, 1e9, 1e-3, 2e-3)]
    rows = many_sets.solve(problem(), first, times)
    expected = 1e-3 * np.exp(0.75 * times)
    np.testing.assert_allclose(rows[2], np.tile(expected, (3, 1)).T, rtol=1e-6)


def test_chemostat_leaves_the_residual_of_the_formula():
    rows = chemostat(many_sets.solve, columns=2)
    np.testing.assert_allclose(rows[0][-1], 0.23077, rtol=1e-4)


def test_chain_of_first_order_reactions():
    rows = chain(many_sets.solve, 0.25, 0.15, 4.0, np.array([0.0, 5.1083, 20.0]), columns=2)
    np.testing.assert_allclose(rows[1][1], 1.8590, rtol=1e-3)
    np.testing.assert_allclose(rows[0][1], 4.0 * np.exp(-0.25 * 5.1083), rtol=1e-3)


def test_order_of_the_method_is_three():
    """Half the step makes the error of a step of a curved problem about sixteen times smaller."""
    curved = problem(load=1.0, decay_a=0.1)
    first = [np.full(1, value) for value in start(2.0, 1.0, 0.3, 0.1)]
    errors = [local_error(curved, first, step) for step in (0.2, 0.1, 0.05)]
    for longer, shorter in pairwise(errors):
        assert 11.0 < longer / shorter < 22.0


def local_error(curved, first, step):
    sets = many_sets.Sets(curved, 1)
    point = [np.array(first[:2]), np.log([first[2], first[4]]), np.array([first[3], first[5]])]
    since = np.zeros(1)
    after, _ = many_sets._step(sets, point, sets.rates(point, since), since, np.full(1, step))
    true = one_set.solve(curved, [float(x[0]) for x in first], np.array([0.0, step]), 1e-13, 1e-14)
    return max(abs(after[0][0, 0] - true[0][-1]), abs(after[0][1, 0] - true[1][-1]))


@pytest.mark.parametrize(("transfer", "allowed"), [(1e15, 1e-6), (8.0, 0.03)])
def test_jacobian_is_that_of_the_rates(transfer, allowed):
    """One step's linear equations against differences of the rates (without nitrogen in cells).

    With a film that hands nitrite on what is left out counts for up to three per cent.
    """
    crowded = problem(
        load=1.0,
        full_a=1.0,
        full_n=0.7,
        attach=2.0,
        detach=0.1,
        ammonia_on_a=0.1,
        acid_on_a=0.2,
        ammonia_on_n=0.3,
        acid_on_n=0.4,
        transfer=transfer,
        available=0.8,
    )
    sets = many_sets.Sets(crowded, 1)
    point = np.array([1.5, 0.8, np.log(0.4), np.log(0.3), 0.05, 0.08])

    def rates(flat):
        parts = [flat[0:2, None], flat[2:4, None], flat[4:6, None]]
        return np.concatenate(sets.rates(parts, np.zeros(1))[:3])[:, 0]

    jacobian = np.empty((6, 6))
    for column in range(6):
        there, back = point.copy(), point.copy()
        there[column] += 1e-6
        back[column] -= 1e-6
        jacobian[:, column] = (rates(there) - rates(back)) / 2e-6
    parts = [point[0:2, None], point[2:4, None], point[4:6, None]]
    now = sets.rates(parts, np.zeros(1))
    stages = many_sets.Stages(sets, now, np.array([4.0]))
    right = np.arange(1.0, 7.0)
    ours = np.concatenate(stages.solve(right[0:2, None], right[2:4, None], right[4:6, None]))[:, 0]
    expected = np.linalg.solve(4.0 / many_sets.GAMMA * np.eye(6) - jacobian, right)
    np.testing.assert_allclose(ours, expected, rtol=allowed)


def test_sets_do_not_touch_one_another():
    scenario, values = Scenario(), draw(10, seed=5)
    together = play(scenario, values, many_sets.solve).state.nitrite
    alone = {k: (v[3:4] if np.ndim(v) else v) for k, v in values.items()}
    np.testing.assert_allclose(
        play(scenario, alone, many_sets.solve).state.nitrite[:, 0], together[:, 3], rtol=1e-9
    )


def test_too_many_steps(monkeypatch):
    monkeypatch.setattr(many_sets, "MOST_STEPS", 3)
    with pytest.raises(ValidityError, match="3 steps took too many steps"):
        play(Scenario(), draw(2, seed=0), many_sets.solve)
