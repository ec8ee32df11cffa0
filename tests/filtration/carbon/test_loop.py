"""Carbon in the loop: balances, limits, and a library's solver of stiff equations."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from aqualib.filtration.capture.recirculation import concentration_after, steady_concentration
from aqualib.filtration.carbon.adsorption import batch_equilibrium, freundlich_loading
from aqualib.filtration.carbon.loop import carbon_run
from aqualib.parameters import parameter
from aqualib.units import SECONDS_PER_DAY, Q
from aqualib.validity import ValidityError

DAY = SECONDS_PER_DAY
TANK = {
    "mass": 0.1,
    "flow": 600 / 3.6e6,
    "production": 20e-6 / DAY,
    "volume": 0.2,
    "duration": 180 * DAY,
    "initial": 3e-3,
    "exchange": 0.03 / DAY,
    "capacity": 2.0,
    "exponent": 0.5,
    "rate": 0.005,
    "bulk_density": 450.0,
}


def by_library(mass, flow, production, volume, duration, initial, exchange, capacity, exponent,
               rate, bulk_density, at):  # fmt: skip
    """Tank and loading at the times `at`, by an implicit Runge-Kutta method of fifth order."""
    cleared = flow * -math.expm1(-rate * mass / (bulk_density * flow))
    constant = 1e-3 * capacity * 1000.0**exponent

    def slope(_time, now):
        tank, held = now
        rest = (max(held, 0.0) / constant) ** (1.0 / exponent)
        taken = cleared * (tank - rest)
        return [(production - taken) / volume - exchange * tank, taken / mass]

    start = [initial, 0.0]
    tight = {"method": "Radau", "rtol": 1e-9, "atol": 1e-13}
    return solve_ivp(slope, (0.0, duration), start, t_eval=np.minimum(at, duration), **tight).y


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"mass": 0.5, "rate": 0.02},
        {"mass": 0.005, "capacity": 10.0},
        {"exponent": 0.2, "capacity": 0.5},
        {"exponent": 1.0},
        {"flow": 10 / 3.6e6},
        {"initial": 0.0},
        {"initial": 0.02, "exchange": 0.2 / DAY},
        {"volume": 0.02, "production": 200e-6 / DAY},
        {"production": 0.0, "exchange": 0.0},
    ],
)
def test_against_a_library(change):
    given_tank = {**TANK, **change}
    run = carbon_run.bare(**given_tank)
    tank, held = by_library(**given_tank, at=run.time)
    assert run.concentration == pytest.approx(tank, abs=0.006 * tank.max())
    assert run.loading == pytest.approx(held, abs=0.006 * held.max())


@settings(max_examples=60, deadline=None)
@given(
    mass=st.floats(1e-3, 5.0),
    flow=st.floats(1e-6, 1e-3),
    production=st.floats(0.0, 1e-8),
    volume=st.floats(0.01, 2.0),
    initial=st.floats(0.0, 0.05),
    capacity=st.floats(0.1, 20.0),
    exponent=st.floats(0.05, 1.0),
    rate=st.floats(1e-5, 0.1),
    exchange=st.floats(0.0, 1e-5),
)
def test_nothing_is_lost(**tank):
    run = carbon_run.bare(**tank, duration=60 * DAY, bulk_density=450.0)
    whole = tank["volume"] * tank["initial"] + run.made
    found = tank["volume"] * run.concentration + tank["mass"] * run.loading + run.changed_away
    assert found == pytest.approx(whole, rel=1e-10, abs=1e-18)
    assert np.all(run.concentration >= 0.0)
    assert np.all(run.loading >= 0.0)


def test_still_water_ends_as_a_batch():
    still = {**TANK, "production": 0.0, "exchange": 0.0, "duration": 3650 * DAY}
    run = carbon_run.bare(**still)
    left = batch_equilibrium.bare(0.2, 0.1, 3e-3, 2.0, 0.5)
    assert run.concentration[-1] == pytest.approx(left, rel=1e-8)
    assert run.fullness[-1] == pytest.approx(1.0, rel=1e-8)


def test_in_the_long_run_carbon_changes_nothing():
    run = carbon_run.bare(**{**TANK, "duration": 3650 * DAY})
    rest = steady_concentration.bare(TANK["production"], TANK["exchange"] * TANK["volume"], 1.0)
    assert run.concentration[-1] == pytest.approx(rest, rel=1e-6)
    assert run.without[-1] == pytest.approx(rest, rel=1e-6)
    assert run.loading[-1] == pytest.approx(freundlich_loading.bare(rest, 2.0, 0.5), rel=1e-6)


def test_no_carbon_is_the_tank_alone():
    run = carbon_run.bare(**{**TANK, "mass": 0.0})
    exact = concentration_after.bare(3e-3, TANK["production"], 0.2 * TANK["exchange"], 1.0, 0.2,
                                     run.time)  # fmt: skip
    assert run.concentration == pytest.approx(exact, rel=1e-4)
    assert run.without == pytest.approx(exact)
    assert run.halved_on == run.gone_on == 0.0


def test_fresh_carbon_starts_with_its_share_of_one_pass():
    run = carbon_run.bare(**{**TANK, "duration": 1.0, "production": 0.0, "exchange": 0.0})
    taken = TANK["mass"] * run.loading[-1]
    assert taken == pytest.approx(TANK["flow"] * run.one_pass * 3e-3, rel=1e-3)
    assert run.one_pass == pytest.approx(1 - math.exp(-0.005 * 0.1 / 450 / TANK["flow"]))


def test_carbon_gives_back_when_the_water_gets_cleaner():
    run = carbon_run.bare(**{**TANK, "initial": 0.02, "production": 0.0, "exchange": 0.05 / DAY})
    assert run.loading[-1] < 0.8 * run.loading.max()
    assert run.concentration[-1] > run.without[-1]


@pytest.mark.parametrize(
    ("name", "more"), [("mass", 0.2), ("capacity", 4.0), ("exchange", 0.01 / DAY)]
)
def test_effect_lasts_longer(name, more):
    assert carbon_run.bare(**{**TANK, name: more}).gone_on > carbon_run.bare(**TANK).gone_on


def test_days_are_read_off_the_curves():
    run = carbon_run.bare(**TANK)
    full = np.interp(run.full_on, run.time, run.fullness)
    assert full == pytest.approx(parameter("carbon_full_share").value, rel=1e-6)
    ratio = run.concentration / run.without
    back = np.interp(run.gone_on, run.time, ratio)
    assert back == pytest.approx(parameter("carbon_effect_gone").value, rel=1e-6)
    halved = 1.0 - np.interp(run.halved_on, run.time, ratio)
    assert halved / (1.0 - ratio.min()) == pytest.approx(
        parameter("carbon_effect_left").value, rel=1e-6
    )
    assert run.time[np.argmin(ratio)] < run.halved_on < run.gone_on


def test_the_trades_weeks_lie_near_the_day_on_which_the_effect_has_halved():
    """Within a factor of two of three to four weeks, for the portion of the lesson."""
    rule = parameter("carbon_change_rule")
    days = carbon_run.bare(**TANK).halved_on / DAY
    assert rule.low / 2.0 < days < 2.0 * rule.high


def test_what_does_not_happen_within_the_run_is_infinite():
    run = carbon_run.bare(**{**TANK, "duration": 1.0 * DAY})
    assert math.isinf(run.full_on)
    assert math.isinf(run.gone_on)


def test_edge_and_bare_agree_and_rows_fill_what_is_left_out():
    run = carbon_run(
        Q(100, "g"), Q(600, "L/h"), Q(20, "mg/day"), Q(200, "L"), Q(180, "day"),
        initial=Q(3, "mg/L"), exchange=Q(0.03, "1/day"),
    )  # fmt: skip
    bare = carbon_run.bare(**TANK)
    assert run.concentration.m_as("kg/m**3") == pytest.approx(bare.concentration)
    assert run.loading.m_as("mg/g") == pytest.approx(1000.0 * bare.loading)
    assert run.gone_on.m_as("day") == pytest.approx(bare.gone_on / DAY)
    assert run.made.m_as("mg")[-1] == pytest.approx(180 * 20)


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("mass", Q(-1, "g")),
        ("flow", Q(0, "L/h")),
        ("production", Q(math.nan, "mg/day")),
        ("volume", 200),
        ("duration", Q([1, 2], "day")),
        ("exponent", 1.5),
        ("capacity", Q(2, "mg/g")),
        ("exchange", Q(math.inf, "1/day")),
        ("initial", Q(3, "g")),
    ],
)
def test_bad_input_is_refused_by_name(name, bad):
    good = {
        "mass": Q(100, "g"),
        "flow": Q(600, "L/h"),
        "production": Q(20, "mg/day"),
        "volume": Q(200, "L"),
        "duration": Q(30, "day"),
    }
    with pytest.raises(ValidityError) as refused:
        carbon_run(**{**good, name: bad})
    assert refused.value.parameter == name
