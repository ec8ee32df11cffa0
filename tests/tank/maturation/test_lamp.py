"""The lamp at start-up: what it kills is what is not on media."""

import numpy as np
import pytest

from aqualib.filtration.ultraviolet.clearing import kill_rate
from aqualib.filtration.ultraviolet.inactivation import inactivated_share, tabled_inactivation
from aqualib.tank.maturation.lamp import start_with_lamp
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario, Ultraviolet
from aqualib.units import Q
from aqualib.validity import ValidityError

RATE = Q(60, "1/day")


def days(start):
    return [start.from_start.m, start.after_wait.m, start.off.m]


def test_a_lamp_hurts_a_seed_in_the_water_and_hardly_one_on_media():
    swims = days(start_with_lamp(Scenario(seed=0.001, seed_in_water=0.9), RATE))
    sits = days(start_with_lamp(Scenario(seed=0.001, seed_in_water=0.01), RATE))
    assert swims[0] - swims[2] > 6.0
    assert sits[0] - sits[2] < 2.0


@pytest.mark.parametrize("water", [0.1, 0.5, 0.9])
def test_the_longer_it_waits_the_less_it_costs(water):
    tank = Scenario(seed=0.001, seed_in_water=water)
    ready = [start_with_lamp(tank, RATE, Q(wait, "day")).after_wait.m for wait in (0, 1, 3, 21)]
    assert np.all(np.diff(ready) <= 1e-6)
    whole = start_with_lamp(tank, RATE)
    assert ready[0] == pytest.approx(whole.from_start.m)
    assert ready[-1] >= whole.off.m - 1e-6


def test_a_stronger_lamp_costs_more():
    tank = Scenario(seed=0.001, seed_in_water=0.9)
    ready = [start_with_lamp(tank, Q(rate, "1/day")).from_start.m for rate in (0, 5, 50, 500)]
    assert np.all(np.diff(ready) > 0.0)
    assert ready[0] == pytest.approx(start_with_lamp(tank, RATE).off.m, abs=1e-3)


def test_it_is_what_simulate_says():
    tank = Scenario(seed=0.001, seed_in_water=0.9)
    events = (Ultraviolet(at=Q(0, "day"), kill_rate=RATE),)
    alone = simulate(Scenario(seed=0.001, seed_in_water=0.9, events=events))
    assert start_with_lamp(tank, RATE).from_start.m == pytest.approx(alone.ready_day)


def test_rate_of_a_lamp_goes_straight_in():
    killed = inactivated_share(tabled_inactivation("fish_bacteria", Q(2, "mJ/cm**2")))
    rate = kill_rate(Q(600, "L/h"), killed, Q(200, "L"))
    start = start_with_lamp(Scenario(volume=Q(200, "L"), seed=0.001, seed_in_water=0.9), rate)
    assert start.from_start > start.off


def test_words():
    start = start_with_lamp(Scenario(seed=0.001, days=Q(10, "day")), RATE)
    assert start.off is None
    assert repr(start).splitlines() == [
        "lamp on from the first day: not safe in this time",
        "lamp on after 10 days: not safe in this time",
        "lamp off: not safe in this time",
    ]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("kill_rate", 60),
        ("kill_rate", Q(-1, "1/day")),
        ("kill_rate", Q([1.0, 2.0], "1/day")),
        ("wait", Q(61, "day")),
        ("wait", Q(float("nan"), "day")),
        ("scenario", "a tank"),
        ("scenario", Scenario(events=(Ultraviolet(at=Q(1, "day")),))),
    ],
)
def test_bad_input_is_refused_by_name(name, value):
    good = {"scenario": Scenario(), "kill_rate": RATE}
    with pytest.raises(ValidityError, match=name):
        start_with_lamp(**{**good, name: value})
