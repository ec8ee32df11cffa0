"""Upkeep as a whole: the closed forms against the model over time."""

from dataclasses import replace

import numpy as np
import pytest

from aqualib.tank import upkeep
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario, WaterChange, repeat
from aqualib.units import Q


@pytest.mark.parametrize(("share", "every"), [(0.25, 7), (0.5, 14), (0.1, 1)])
def test_nitrogen_of_a_mature_tank_follows_the_closed_form(share, every):
    """New water of the model holds no nitrogen, so the source is 0."""
    first, rounds = 60, 8
    last = first + every * rounds
    tank = Scenario(seed=1.0, load=Q(0.1, "g/day"), days=Q(last + 1, "day"))
    alone = simulate(tank)
    changes = repeat(WaterChange(Q(first, "day"), share), Q(every, "day"), Q(last, "day"))
    run = simulate(replace(tank, events=changes))
    days = run.time.m_as("day")

    def nitrogen(of, day):
        parts = (of.total_ammonia_nitrogen, of.nitrite_nitrogen, of.nitrate_nitrogen)
        return sum(part.m_as("mg/L") for part in parts)[np.searchsorted(days, day - 1e-6)]

    # What is made between changes, by the model left alone: 0.1 g a day in 100 L.
    gain = (nitrogen(alone, last) - nitrogen(alone, first)) / rounds
    assert gain == pytest.approx(every, rel=0.01)
    start = Q(nitrogen(run, first), "mg/L")
    for n in (1, 3, rounds):
        ours = upkeep.after_water_changes(start, Q(gain, "mg/L"), share, Q(0, "mg/L"), n)
        assert nitrogen(run, first + every * n) == pytest.approx(ours.m_as("mg/L"), rel=0.002)
        # Nearly all of it is nitrate, which lags a little: its makers' food was thinned as well.
        nitrate = run.nitrate_nitrogen.m_as("mg/L")[np.searchsorted(days, first + every * n - 1e-6)]
        assert 0.9 * ours.m_as("mg/L") < nitrate < ours.m_as("mg/L")


def test_alkalinity_of_the_model_falls_as_the_bill_says():
    tank = Scenario(
        seed=1.0,
        load=Q(0.1, "g/day"),
        days=Q(70, "day"),
        alkalinity_kept=True,
    )
    run = simulate(tank)
    use = run.alkalinity_use.m_as("mg/L")
    days = run.time.m_as("day")
    late = days >= 60
    slope = np.polyfit(days[late], use[late], 1)[0]
    bill = upkeep.alkalinity_used(Q(0.1, "g/day"), Q(100, "L")).m_as("mg/L/day")
    assert slope == pytest.approx(bill, rel=0.03)


def test_least_water_keeps_the_model_at_the_limit():
    plan = upkeep.least_water(Q(1, "mg/L/day"), Q(25, "mg/L"), Q(0, "mg/L"), Q(100, "L"), 0.3)
    changes = repeat(WaterChange(plan.interval, plan.share), plan.interval, Q(390, "day"))
    tank = Scenario(seed=1.0, load=Q(0.1, "g/day"), days=Q(390, "day"), events=changes)
    nitrate = simulate(tank).nitrate_nitrogen.m_as("mg/L")
    assert 0.95 * 25 < nitrate[-200:].max() <= 25.1
