"""Playing a scenario: nothing gets lost, and events do at once what they should."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.maturation import many_sets, one_set
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.course import output_times, play, water_of
from aqualib.tank.maturation.forecast import draw
from aqualib.tank.maturation.rates import best_values, growth
from aqualib.tank.maturation.scenario import Scenario, repeat
from aqualib.tank.maturation.stretches import Conditions
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
    inside = state.ammonia + state.nitrite + state.nitrate + nitrogen * cells + state.rotting
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
    less = change_at(s.Seeding(Q(10, "day"), 0.05))
    assert state["film_a"][1] > less["film_a"][1] > less["film_a"][0]
    celsius = parameter("tank_temperature").value
    usual = Conditions(1.0, celsius, 1.0, True, 0.0)
    full = growth(best_values(), water_of(Scenario()), usual).full_a
    assert state["film_a"][1] == pytest.approx(full, rel=1e-6)


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
    """4.57 g of oxygen per g of nitrogen at rest, when as much dies as grows; less before."""
    state = play(Scenario(seed=1e-3), best_values(), one_set.solve).state
    rest, day = slice(-41, None, 40), np.searchsorted(state.nitrate, 2.0)
    oxygen, nitrogen = np.diff(state.oxygen_use[rest])[0], np.diff(state.nitrate[rest])[0]
    assert oxygen / nitrogen == pytest.approx(4.569, abs=0.02)
    young = state.oxygen_use[day] / (state.nitrite[day] * 0.75 + state.nitrate[day])
    assert 4.2 < young < 4.569


@pytest.mark.parametrize(("days", "last", "count"), [(60, 60, 241), (10.1, 10.1, 42), (1, 1, 5)])
def test_output_times(days, last, count):
    times = output_times(days)
    assert (times[0], times[-1], len(times)) == (0.0, last, count)
    assert np.all(np.diff(times) > 0)


def test_food_becomes_ammonia_with_its_delay():
    """All of it at last; on the way as much as one pool that empties at its rate."""
    tank = Scenario(seed=1e-8, seed_in_water=0.5, days=Q(4, "day"))
    state = play(tank, best_values(), one_set.solve).state
    times, load = output_times(4.0), 1.0
    waiting = load * (1.0 - np.exp(-times))
    np.testing.assert_allclose(state.rotting, waiting, atol=1e-9)
    np.testing.assert_allclose(state.ammonia, load * times - waiting, atol=1e-4)
    sudden = play(tank, {**best_values(), "food_to_ammonia_delay": 1e-9}, one_set.solve).state
    np.testing.assert_allclose(sudden.ammonia, load * times, atol=1e-4)


def test_food_goes_on_rotting_after_the_feeding_ends():
    fed = (s.Feeding(Q(0, "day"), Q(0.1, "g/day")), s.Feeding(Q(2, "day"), Q(0, "g/day")))
    tank = Scenario(seed=1e-8, days=Q(12, "day"), events=fed, load=Q(0, "g/day"))
    state = play(tank, best_values(), one_set.solve).state
    at_end = state.ammonia[output_times(12.0) == 2.0]
    assert at_end < 1.2
    assert state.ammonia[-1] == pytest.approx(2.0, abs=1e-3)


def test_nothing_goes_below_nothing():
    heavy = Scenario(seed=1.0, load=Q(0.001, "g/day"))
    for state in (play(heavy, best_values(), one_set.solve).state,
                  play(heavy, draw(20, seed=4), many_sets.solve).state):  # fmt: skip
        for name in ("ammonia", "nitrite", "nitrate", "film_a", "film_n", "rotting"):
            assert np.min(getattr(state, name)) >= -1e-12, name
