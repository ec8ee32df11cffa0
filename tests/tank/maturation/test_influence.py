"""What the ready day hangs on: known answers, and what is refused."""

from __future__ import annotations

import importlib

import numpy as np
import pytest

from aqualib.tank.maturation import influence as module
from aqualib.tank.maturation.influence import optional, ready_days, sensitivity
from aqualib.tank.maturation.rates import NAMES, best_values
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario
from aqualib.units import Q
from aqualib.validity import ValidityError

LONG = Scenario(days=Q(120, "day"))


def test_middle_of_all_rows_is_the_best_run():
    days = ready_days(LONG, np.full((1, len(NAMES)), 0.5))
    assert days[0] == pytest.approx(simulate(LONG).ready_day, abs=0.15)


def test_each_column_is_its_own_row():
    places = np.full((2, len(NAMES)), 0.5)
    places[1, NAMES.index("nitrite_oxidiser_growth")] = 0.9
    slow, fast = ready_days(LONG, places)
    assert fast < slow


def test_never_ready_counts_as_the_last_day():
    short = Scenario(seed=1e-6, days=Q(10, "day"))
    assert np.all(ready_days(short, np.full((2, len(NAMES)), 0.5)) == 10.0)


def test_nitrite_oxidisers_decide_in_fresh_water():
    import SALib  # noqa: F401

    found = sensitivity(LONG, samples=64)
    assert {influence.name for influence in found} == set(NAMES)
    totals = [influence.total for influence in found]
    assert totals == sorted(totals, reverse=True)
    assert "nitrite" in found[0].name or "nitrous" in found[0].name


def test_nothing_matters_when_all_are_ready_at_once():
    import SALib  # noqa: F401

    found = sensitivity(Scenario(seed=1.0, load=Q(0, "g/day")), samples=16)
    assert all(influence.total == 0.0 for influence in found)


@pytest.mark.parametrize("samples", [0, 15, 100, 2.5, None, "many", True, np.array([16])])
def test_bad_samples(samples):
    with pytest.raises(ValidityError, match="samples"):
        sensitivity(LONG, samples=samples)


@pytest.mark.parametrize("seed", [-1, None, [1], np.array([1, 2])])
def test_bad_seed(seed):
    with pytest.raises(ValidityError, match="seed"):
        sensitivity(LONG, samples=16, seed=seed)


def test_not_a_scenario():
    with pytest.raises(ValidityError, match="scenario"):
        sensitivity(best_values())


def test_missing_extra_says_what_to_install(monkeypatch):
    def missing(name):
        raise ImportError(name)

    monkeypatch.setattr(module, "import_module", missing)
    with pytest.raises(ImportError, match=r"SALib is missing; install aqualib\[studies\]"):
        optional("SALib.sample.sobol")
    assert importlib.import_module("aqualib")
