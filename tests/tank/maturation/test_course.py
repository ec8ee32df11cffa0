"""Playing a scenario: nothing gets lost, and events do at once what they should."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.tank.maturation import many_sets, one_set
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.course import output_times, play
from aqualib.tank.maturation.forecast import draw
from aqualib.tank.maturation.rates import best_values
from aqualib.tank.maturation.scenario import Scenario, repeat
from aqualib.units import Q

EVERYTHING = (
    s.Dose(Q(0, "day"), Q(2, "mg/L")),
    s.Feeding(Q(3.1, "day"), Q(0.05, "g/day")),
    s.Stock(Q(9, "day"), Q(0.05, "g/day")),
    s.Seeding(Q(12.3, "day"), 0.01),
    s.Ultraviolet(Q(15, "day")),
    s.Ultraviolet(Q(19, "day"), on=False),
    s.Binder(Q(16, "day"), 0.7, Q(3, "day")),
    s.Temperature(Q(21, "day"), Q(22, "degC")),
    s.PowerCut(Q(33, "day"), Q(9, "hour")),
    s.Cleaning(Q(40, "day"), 0.4),
    s.Buffer(Q(41, "day"), Q(30, "mg/L")),
    *repeat(s.WaterChange(Q(7, "day"), 0.3), every=Q(7, "day"), until=Q(56, "day")),
)


def balance(state):
    nitrogen = best_values()["nitrogen_in_nitrifiers"]
    cells = state.film_a + state.water_a + state.film_n + state.water_n
    inside = state.ammonia + state.nitrite + state.nitrate + nitrogen * cells
    return inside + state.nitrogen_out - state.nitrogen_in


@pytest.mark.parametrize("kept", [True, False])
def test_nitrogen_adds_up_at_every_step(kept):
    scenario = Scenario(events=EVERYTHING, alkalinity_kept=kept, seed=1e-3)
    assert np.abs(balance(play(scenario, best_values(), one_set.solve).state)).max() < 1e-9
    sets = play(scenario, draw(20, seed=2), many_sets.solve).state
    assert np.abs(balance(sets)).max() < 1e-9


def change_at(event, day=10.0, **given):
    """The state just before and just after an event that comes between two stretches."""
    scenario = Scenario(days=Q(20, "day"), seed=1e-2, events=(event,), **given)
    times = np.array([day - 1e-9, day])
    state = play(scenario, best_values(), one_set.solve, times).state
    return {name: getattr(state, name) for name in state.__slots__}


def test_dose():
    state = change_at(s.Dose(Q(10, "day"), Q(2.5, "mg/L")))
    before, after = state["ammonia"]
    assert after - before == pytest.approx(2.5, abs=1e-6)


def test_water_change():
    state = change_at(s.WaterChange(Q(10, "day"), 0.3, Q(50, "mg/L")))
    for name in ("ammonia", "nitrite", "nitrate", "water_a", "water_n"):
        before, after = state[name]
        assert after == pytest.approx(0.7 * before, rel=1e-6)
    assert state["alkalinity"][1] == pytest.approx(0.7 * 120 + 0.3 * 50)
    assert state["film_a"][1] == pytest.approx(state["film_a"][0], rel=1e-6)


def test_cleaning_takes_film_only():
    state = change_at(s.Cleaning(Q(10, "day"), 0.4))
    for name in ("film_a", "film_n"):
        before, after = state[name]
        assert after == pytest.approx(0.6 * before, rel=1e-6)
    assert state["water_a"][1] == pytest.approx(state["water_a"][0], rel=1e-6)


def test_seeding_stops_at_what_the_media_hold():
    state = change_at(s.Seeding(Q(10, "day"), 1.0))
    less = change_at(s.Seeding(Q(10, "day"), 0.1))
    assert state["film_a"][1] > less["film_a"][1] > less["film_a"][0]
    assert state["film_a"][1] == pytest.approx(2.1516, rel=1e-3)


def test_buffer():
    state = change_at(s.Buffer(Q(10, "day"), Q(40, "mg/L")), alkalinity_kept=False)
    before, after = state["alkalinity"]
    assert after - before == pytest.approx(40.0, abs=1e-5)


def test_event_on_the_last_day_shows():
    scenario = Scenario(
        days=Q(5, "day"), events=(s.Dose(Q(5, "day"), Q(4, "mg/L")),), load=Q(0, "g/day")
    )
    state = play(scenario, best_values(), one_set.solve).state
    assert state.ammonia[-1] - state.ammonia[-2] == pytest.approx(4.0, abs=1e-3)


def test_alkalinity_that_is_kept_is_added_as_it_is_used():
    kept = play(Scenario(), best_values(), one_set.solve).state
    assert np.ptp(kept.alkalinity) == 0.0
    # 2 x 50.043 / 14.007 = 7.145 for each mg of nitrogen that is no ammonia any more.
    oxidised = kept.nitrite[-1] + kept.nitrate[-1]
    assert kept.alkalinity_use[-1] == pytest.approx(7.145 * oxidised, rel=0.01)


def test_alkalinity_that_is_not_kept_falls_by_what_is_used():
    falling = play(Scenario(alkalinity_kept=False), best_values(), one_set.solve).state
    np.testing.assert_allclose(falling.alkalinity, 120 - falling.alkalinity_use, atol=1e-9)
    assert falling.alkalinity[-1] > 0.0


def test_oxygen_use_is_what_the_stoichiometry_says():
    """(3.43 - Y) and (1.14 - Y) g of oxygen per g of nitrogen, 4.33 in all."""
    state = play(Scenario(seed=0.1), best_values(), one_set.solve).state
    per_nitrogen = state.oxygen_use[-1] / (state.nitrate[-1] + state.nitrite[-1])
    assert per_nitrogen == pytest.approx(4.33, abs=0.01)


@pytest.mark.parametrize(("days", "last", "count"), [(60, 60, 241), (10.1, 10.1, 42), (1, 1, 5)])
def test_output_times(days, last, count):
    times = output_times(days)
    assert (times[0], times[-1], len(times)) == (0.0, last, count)
    assert np.all(np.diff(times) > 0)
