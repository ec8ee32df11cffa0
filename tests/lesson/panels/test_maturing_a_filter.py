"""How a filter matures: the numbers are those of the model for the tank that the controls say."""

import dataclasses

import numpy as np
import pytest

from aqualib.lesson.panels.maturing_a_filter import (
    answer,
    compute,
    describe,
    doubt,
    maturation_panel,
)
from aqualib.parameters import parameter
from aqualib.tank.load.nitrogen import ammonia_production
from aqualib.tank.maturation import Scenario, simulate
from aqualib.units import Q

USUAL = {"seed": "squeeze", "feed": 4e-3 / 86400, "temperature": 298.15, "salinity": 0.0,
         "volume": 0.2, "surface": 2.0, "ph": 7.5, "binder": False, "lamp": "off"}  # fmt: skip


@pytest.mark.parametrize("change", [{}, {"seed": "third"}, {"volume": 0.1, "salinity": 35.0}])
def test_numbers_are_those_of_the_model(change):
    values = {**USUAL, **change}
    run = compute(**values)
    load = ammonia_production(Q(4, "g/day"), parameter("food_protein").value / 100)
    result = simulate(
        Scenario(
            volume=Q(1000 * values["volume"], "L"), media_area=Q(2, "m**2"), load=load.to("g/day"),
            seed=parameter(f"seed_{values['seed']}").value, temperature=Q(25, "degC"), ph=7.5,
            salinity=values["salinity"], days=parameter("weeks_ahead").quantity,
        )
    )  # fmt: skip
    assert run.ready == pytest.approx(float(result.ready_day), nan_ok=True)
    assert run.ammonia == pytest.approx(result.course.state.ammonia)
    assert run.nitrite == pytest.approx(result.course.state.nitrite)
    assert run.time[-1] == parameter("weeks_ahead").value
    assert run.load == pytest.approx(load.m_as("mg/day"))
    assert (run.litres, run.celsius) == pytest.approx((1000 * values["volume"], 25.0))
    after = run.time > run.ammonia_falls
    assert np.all((run.ammonia <= result.safety.ammonia_limit)[after])


def test_binder_and_lamp_are_events_of_the_scenario():
    run = compute(**{**USUAL, "binder": True, "lamp": "later"})
    binder, lamp = run.scenario.events
    assert binder.duration == parameter("binder_days").quantity
    assert binder.share == parameter("binder_share").value
    assert lamp.at == parameter("lamp_on_later").quantity
    assert compute(**{**USUAL, "lamp": "start"}).scenario.events[0].at == Q(0, "day")


def test_words_without_an_end():
    never = dataclasses.replace(compute(**USUAL), ready=np.nan, why="nitrite is above its limit")
    assert "Not safe by day 84: nitrite is above its limit" in describe(never)
    assert doubt(None) == ""
    # At a glance the headline must not read as a time that is an answer.
    assert answer(never) == ("After 12 weeks:", "still not safe")


def test_where_more_days_would_not_help_the_cause_of_never_is_told():
    small = compute(**{**USUAL, "salinity": 35.0, "ph": 8.2, "surface": 2.0})
    assert np.isnan(small.ready)
    never = "too little surface for ammonia oxidisers to carry the load"
    assert describe(small).endswith(f"and more days would not help: {never}.")
    enough = compute(**{**USUAL, "salinity": 35.0, "ph": 8.2, "surface": 4.0})
    assert "more days" not in describe(enough)


def test_the_doubt_is_told_when_the_hand_rests():
    panel = maturation_panel()
    assert "one in twenty is safe by day" in panel.sentence
    panel._on_message(panel.view, {"do": "set", "name": "feed", "value": 2, "turn": 1}, [])
    assert panel.result.band is None
    assert "one in twenty" not in panel.sentence
    panel.close()
