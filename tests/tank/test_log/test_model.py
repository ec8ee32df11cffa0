"""The model beside the readings: scales of error, limits, priors, and the twin of a scenario."""

import numpy as np
import pytest
from scipy.special import ndtr

from aqualib.draws import at_share
from aqualib.parameters import parameter
from aqualib.tank.maturation import one_set
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Feeding, Scenario, WaterChange
from aqualib.tank.test_log import model
from aqualib.tank.test_log.log import Reading
from aqualib.tank.test_log.model import LogModel, near_zero, rows_of, scaled
from aqualib.units import Q

TANK = Scenario(days=Q(30, "day"), seed=0.01)
FRESH_READINGS = [Reading(1, 3.0, "ammonia", 1.0)]
FRESH = LogModel(TANK, FRESH_READINGS)
NAMES = FRESH.prior.names


def at(**places):
    found = np.zeros(len(NAMES))
    for name, place in places.items():
        found[NAMES.index(name)] = place
    return found


def test_the_error_of_a_reading_is_one_on_the_scale():
    for row in range(3):
        c = np.array([0.0, 0.3, 5.0, 60.0])
        error = np.sqrt(near_zero()[row] ** 2 + (0.15 * c) ** 2)
        slope = (scaled(c + 1e-6, row) - scaled(c, row)) / 1e-6
        assert slope * error == pytest.approx(1.0, rel=1e-4)


def test_without_readings_the_prior_is_that_of_the_bands():
    for place in (-1.3, 0.4):
        values = FRESH.prior.values(np.full(len(NAMES), place))
        for name in ("ammonia_oxidiser_growth", "nitrite_over_ammonia"):
            assert values[name] == pytest.approx(float(at_share(name, ndtr(place))), rel=1e-9)


def exactly(monkeypatch):
    monkeypatch.setattr(model, "SOLVER", one_set.solve)


def test_the_solver_is_near_enough():
    """It may be off by a part of the error of a test; most where nitrite falls like a stone."""
    told = rows_of(simulate(TANK).course)
    ours = FRESH.followed(at()).rows - [[0.0], [0.0], [parameter("tap_nitrate").value]]
    off = [
        scaled(a, row) - scaled(b, row) for row, (a, b) in enumerate(zip(ours, told, strict=True))
    ]
    assert np.abs(off).max() < 0.5
    assert np.abs(off).mean() < 0.02


def test_the_middle_is_the_simulation_as_told(monkeypatch):
    exactly(monkeypatch)
    ours = FRESH.course(at())
    told = simulate(TANK)
    assert ours.state.nitrite == pytest.approx(told.course.state.nitrite, abs=1e-9)
    tap = parameter("tap_nitrate").value
    assert ours.state.nitrate - tap == pytest.approx(told.course.state.nitrate, abs=1e-9)
    followed = FRESH.followed(at())
    assert followed.safety.least == pytest.approx(told.safety.least)
    assert followed.ready == pytest.approx(told.ready_day)
    assert followed.held_up_by(9.0) == told.why_at(Q(9, "day"))
    assert followed.held_up_by(followed.ready + 1.0) == ""


def test_twice_the_load_is_twice_the_load(monkeypatch):
    exactly(monkeypatch)
    place = 1.0
    factor = FRESH.prior.values(at(load_guess=place))["load_guess"]
    load = Q(0.1 * factor, "g/day")
    events = (Feeding(Q(9, "day"), load), WaterChange(Q(12, "day"), 0.3))
    told = simulate(Scenario(days=Q(30, "day"), seed=0.01, load=load, events=events))
    ours = LogModel(
        Scenario(
            days=Q(30, "day"),
            seed=0.01,
            events=(Feeding(Q(9, "day"), Q(0.1, "g/day")), events[1]),
        ),
        FRESH_READINGS,
    )
    followed = ours.followed(at(load_guess=place))
    assert followed.rows[1] == pytest.approx(told.course.state.nitrite, abs=1e-4)
    assert followed.safety.capacity_a == pytest.approx(told.safety.capacity_a, rel=1e-3)


def test_the_scenario_itself_is_left_alone():
    before = TANK.bare
    FRESH.followed(at(seed_guess=2.0, load_guess=-1.0))
    assert TANK.bare == before


def test_more_seed_is_earlier():
    peaks = [np.argmax(FRESH.course(at(seed_guess=s)).state.ammonia) for s in (-1.0, 0.0, 1.0)]
    assert peaks[0] > peaks[1] > peaks[2]


def test_rows_only_the_sea_needs_are_left_out_in_fresh_water():
    sea = LogModel(Scenario(salinity=35.0, ph=8.1), FRESH_READINGS)
    assert set(sea.prior.names) - set(NAMES) == {"sea_film_capacity", "sea_nitrite_pace"}
    assert "seed_strength" not in sea.prior.names


def test_limits_count_only_on_their_wrong_side():
    day, value = 3.0, float(rows_of(FRESH.course(at()))[0, 12])
    off = {}
    for sign, read in (("<", 0.2 * value), ("<", 5 * value), (">", 0.2 * value), (">", 5 * value)):
        one = LogModel(TANK, [Reading(1, day, "ammonia", read, sign)])
        off[sign, read > value] = one.residuals(at())[0]
    assert off["<", False] > 3.0
    assert off[">", True] > 3.0
    assert off["<", True] < 0.01
    assert off[">", False] < 0.01


def test_nitrogen_told_is_what_the_food_brings():
    told = FRESH.nitrogen_told(at(load_guess=1.0))
    days = FRESH.course(at()).time
    # 1 mg/L a day, less what cells are made of; a dying seed may bring a trace.
    assert np.all(told <= days + 0.01)
    assert told[-1] > 0.9 * days[-1]
