"""Safe, from when on, and why not: each reason in a tank made for it."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario
from aqualib.tank.maturation.verdict import first_day_it_stays, safe_nitrite
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.ammonia import total_ammonia_limits


def day(value):
    return Q(value, "day")


TIME = np.array([0.0, 1.0, 2.0, 3.0, 4.0])


@pytest.mark.parametrize(
    ("margin", "first"),
    [
        ([1, 1, 1, 1, 1], 0.0),
        ([-1, 1, 1, 1, 1], 0.5),
        ([1, -1, -3, 1, 1], 2.75),
        ([-1, -1, -1, -1, 0], 4.0),
        ([1, 1, 1, 1, -0.1], np.nan),
        ([0, 0, 0, 0, 0], 0.0),
    ],
)
def test_first_day_it_stays(margin, first):
    margin = np.array(margin, dtype=float)
    np.testing.assert_equal(first_day_it_stays(TIME, margin), first)
    both = first_day_it_stays(TIME, np.stack([margin, np.ones(5)], axis=1))
    np.testing.assert_equal(both, [first, 0.0])


REASONS = {
    "ammonia oxidisers are still too few": ({"seed": 1e-5}, 10),
    "nitrite oxidisers are the late ones": ({}, 20),
    "nitrite oxidisers are enough now": ({}, 30.5),
    "ammonia oxidisers are enough now": ({"seed": 1e-3, "ph": 8.3}, 11.5),
    "alkalinity is used up": ({"alkalinity_kept": False}, 50),
    "the power is off": ({"events": [s.PowerCut(day(20), day(2))]}, 21),
    "full of ammonia oxidisers": ({"media_area": Q(0.04, "m**2")}, 55),
    "ammonia is bound": ({"events": [s.Binder(day(0), 0.95, day(60))]}, 50),
    "ammonia oxidisers cannot grow": ({"oxygen": Q(0.02, "mg/L")}, 50),
    "nitrite oxidisers cannot grow": (
        {"oxygen": Q(0.14, "mg/L"), "seed": 0.1, "media_area": Q(20, "m**2"), "days": day(200)},
        190,
    ),
    "something later breaks it": (
        {"seed": 0.1, "events": [s.Stock(day(0), Q(0.1, "g/day")), s.Cleaning(day(50), 0.99)]},
        45,
    ),
}


@pytest.mark.parametrize("words", REASONS)
def test_reason(words):
    given, when = REASONS[words]
    assert words in simulate(Scenario(**given)).why_at(day(when))


def test_no_reason_once_it_is_safe():
    result = simulate(Scenario(seed=0.1))
    assert result.why_at(day(30)) == ""
    assert result.why_not_ready


def test_limits_are_the_ones_of_the_water():
    result = simulate(Scenario(salinity=35, ph=8.1))
    expected = total_ammonia_limits(8.1, Q(25, "degC"), 35).chronic
    np.testing.assert_allclose(result.ammonia_limit.m, expected.m_as("mg/L"))
    assert result.nitrite_limit.m == safe_nitrite(35)


def test_safe_nitrite_goes_from_fresh_to_sea():
    fresh, sea = parameter("safe_nitrite").value, parameter("safe_nitrite_sea").value
    assert safe_nitrite(0.0) == fresh
    assert safe_nitrite(17.5) == pytest.approx((fresh + sea) / 2)
    assert safe_nitrite(40.0) == sea


@pytest.mark.parametrize(
    "salinity", [float("nan"), -1.0, float("inf"), None, "sea", [0.0, 35.0], True, Q(35, "g/L")]
)
def test_no_level_of_nitrite_for_what_is_no_salinity(salinity):
    with pytest.raises(ValidityError, match="salinity"):
        safe_nitrite(salinity)


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
