"""Safe, from when on, and why not: each reason in a tank made for it."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario
from aqualib.tank.maturation.verdict import first_day_it_stays
from aqualib.units import Q
from aqualib.water.ammonia import total_ammonia_limits
from aqualib.water.nitrite_limits import safe_nitrite


def day(value):
    return Q(value, "day")


TIME = np.array([0.0, 1.0, 2.0, 3.0, 4.0])


@pytest.mark.parametrize(
    ("margin", "first"),
    [
        ([1, 1, 1, 1, 1], 0.0),
        ([-1, 1, 1, 1, 1], 0.5),
        ([1, -0.5, -0.8, 0.5, 0.5], 2.6667),
        ([-1, -1, -1, -1, 0], 4.0),
        ([1, 1, 1, 1, -0.1], np.nan),
        ([0, 0, 0, 0, 0], 0.0),
    ],
)
def test_first_day_it_stays(margin, first):
    margin = np.array(margin, dtype=float)
    np.testing.assert_allclose(first_day_it_stays(TIME, margin), first, atol=1e-4)
    both = first_day_it_stays(TIME, np.stack([margin, np.ones(5)], axis=1))
    np.testing.assert_allclose(both, [first, 0.0], atol=1e-4)


REASONS = {
    "ammonia oxidisers are still too few": ({"seed": 1e-5}, 10),
    "nitrite goes last: still too few of the bacteria": ({}, 18),
    "there are enough bacteria by now, but some nitrite is still left": ({}, 23.5),
    "there are enough bacteria by now, but some ammonia is still left": ({}, 11),
    "alkalinity is used up": ({"alkalinity_kept": False}, 50),
    "the power is off": ({"events": [s.PowerCut(day(20), day(2))]}, 21),
    "full of ammonia oxidisers": ({"media_area": Q(0.04, "m**2")}, 55),
    "ammonia is bound": ({"events": [s.Binder(day(0), 0.95, day(60))]}, 50),
    "ammonia oxidisers cannot grow": ({"oxygen": Q(0.02, "mg/L")}, 50),
    "something later breaks it": (
        {"seed": 0.1, "events": [s.Stock(day(0), Q(0.1, "g/day")), s.Cleaning(day(50), 0.99)]},
        45,
    ),
}


@pytest.mark.parametrize("words", REASONS)
def test_reason(words):
    given, when = REASONS[words]
    assert words in simulate(Scenario(**given)).why_at(day(when))


def test_nitrite_oxidisers_that_cannot_grow():
    result = simulate(Scenario(), {"nitrite_oxidiser_growth": 0.08, "nitrite_oxidiser_decay": 0.1})
    assert "nitrite oxidisers cannot grow" in result.why_at(day(50))
    assert "nitrite oxidisers cannot grow" in result.why_never


def test_no_reason_once_it_is_safe():
    result = simulate(Scenario(seed=0.1))
    assert result.why_at(day(30)) == ""
    assert result.why_not_ready
    assert result.why_never == ""


NEVER = {
    "alkalinity is used up": {"alkalinity_kept": False},
    "too little surface for ammonia oxidisers": {"media_area": Q(0.04, "m**2")},
    "too little oxygen for ammonia oxidisers": {
        "surface_exchange": Q(1.2, "1/day"), "breathing": Q(0.5, "g/day")},
    "ammonia is bound": {"events": [s.Binder(day(0), 0.95, day(60))]},
    "ammonia oxidisers cannot grow": {"oxygen": Q(0.02, "mg/L")},
    "the power is off": {"events": [s.PowerCut(day(10), day(50))]},
}  # fmt: skip


@pytest.mark.parametrize("words", NEVER)
def test_cause_of_never(words):
    result = simulate(Scenario(**NEVER[words]))
    assert result.ready_on is None
    assert words in result.why_never


def test_too_few_days_are_not_never():
    early = simulate(Scenario(days=day(10)))
    assert early.ready_on is None
    assert early.why_not_ready
    assert early.why_never == ""
    # In small steps more days do end the wait.
    assert simulate(Scenario(days=day(30))).ready_on is not None


def test_a_late_spike_is_told_by_its_own_cause():
    """Not by the young days of the filter, long past."""
    spike = s.Dose(day(45), Q(20, "mg/L"))
    result = simulate(Scenario(events=[s.Stock(day(0), Q(0.1, "g/day")), spike]))
    assert 45 < result.ready_day < 60
    assert "is still left" in result.why_not_ready
    cut = simulate(Scenario(events=[s.Stock(day(0), Q(0.1, "g/day")), s.Cleaning(day(45), 0.9)]))
    assert cut.ready_day > 45
    assert "too few" in cut.why_not_ready


def test_limits_are_the_ones_of_the_water():
    result = simulate(Scenario(salinity=35, ph=8.1, temperature=Q(25, "degC")))
    expected = total_ammonia_limits(8.1, Q(25, "degC"), 35).chronic
    np.testing.assert_allclose(result.ammonia_limit.m, expected.m_as("mg/L"))
    assert result.nitrite_limit.m == pytest.approx(safe_nitrite(35).m)


def test_fishless_tank_must_be_able_to_carry_the_stock_planned():
    """The first dose is gone long before the bacteria would do for the animals."""
    dose = s.Dose(day(0), Q(1, "mg/L"))
    result = simulate(Scenario(seed=1e-3, events=[dose, s.Feeding(day(0), Q(0, "g/day"))]))
    ammonia, nitrite, *able = result.safety.margins
    assert ammonia[-1] > 0
    assert nitrite[-1] > 0
    assert min(margin[-1] for margin in able) < 0
    assert result.ready_on is None


def test_a_short_power_cut_does_not_count_as_lost_bacteria():
    cut = simulate(Scenario(seed=0.1, events=[s.PowerCut(day(50), Q(2, "hour"))]))
    assert cut.ready_day == pytest.approx(simulate(Scenario(seed=0.1)).ready_day, abs=0.01)


def test_capacity_is_judged_at_the_limit():
    """At rest the load is oxidised at less than the limit, so at the limit there is a reserve."""
    result = simulate(Scenario(days=day(200)))
    assert result.safety.capacity_a[-1] > 1.0
    assert result.safety.capacity_n[-1] > 1.0
