"""A keeper's tank: what is told counts, what is left out is the invented tank's and is said so."""

from dataclasses import replace

import pytest
from tank.test_log.sound_logs import sound_log

from aqualib.filtration.media import media_bed
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.maturation import WaterChange
from aqualib.tank.test_log.keepers_tank import ROWS, own_tank
from aqualib.tank.test_log.log import Reading
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_nothing_told_is_the_invented_tank():
    tank = own_tank()
    given = tank.scenario.in_days
    for name, row in ROWS.items():
        assert getattr(given, name) == parameter(row).value
    assert tank.whose == "the invented tank of the lesson"
    assert "100 L of water" in str(tank)
    assert "until you tell your own" in str(tank)


def test_what_is_told_counts_and_what_is_not_is_named():
    tank = own_tank(volume=Q(54, "L"), ph=7.2, alkalinity_kept=False, seed=0.1)
    given = tank.scenario.in_days
    assert (given.volume, given.ph, given.alkalinity_kept, given.seed) == (54, 7.2, False, 0.1)
    assert tank.whose == "your tank"
    told, taken = str(tank).split("Not told")
    assert "54 L of water, a seed of 0.1 of a ripe film, pH 7.2, alkalinity not topped up" in told
    assert "0.100 g/day of ammonia nitrogen, 5 m² of media surface" in taken
    assert "water" not in taken


def test_food_is_turned_into_ammonia():
    food = Q(2, "g/day")
    for protein, share in ((0.3, 0.3), (None, parameter("food_protein").value / 100.0)):
        found = own_tank(food=food, protein=protein).scenario.in_days.load
        assert found == pytest.approx(ammonia_production(food, share).m_as("g/day"))
    assert own_tank(ammonia=Q(50, "mg/day")).scenario.in_days.load == pytest.approx(0.05)


def test_media_are_turned_into_surface():
    found = own_tank(media=Q(2, "kg"), kind="lava rock").scenario.in_days.media_area
    best = media_bed("lava rock", Q(2, "kg")).outer_area.best
    assert found == pytest.approx(best.m_as("m**2"))
    assert own_tank(media_area=Q(3, "m**2")).scenario.in_days.media_area == 3.0


def test_events_are_counted():
    tank = own_tank(events=(WaterChange(Q(7, "day"), 0.3),))
    assert "1 events" not in str(tank)
    assert "1 event" in str(tank)
    assert len(tank.scenario.events) == 1


@pytest.mark.parametrize(
    "told",
    [
        {"food": Q(1, "g/day"), "ammonia": Q(1, "g/day")},
        {"protein": 0.4},
        {"media": Q(1, "kg"), "media_area": Q(1, "m**2")},
        {"media": Q(1, "kg")},
        {"kind": "lava rock"},
        {"kind": "lava", "media": Q(1, "kg")},
        {"volume": 54},
        {"volume": Q(-1, "L")},
        {"food": Q(1, "kg")},
        {"ph": 3},
    ],
)
def test_what_does_not_go_together_is_refused(told):
    with pytest.raises(ValidityError):
        own_tank(**told)


def test_the_forecast_reaches_beyond_the_log():
    tank = own_tank()
    ahead = parameter("log_days_ahead").value
    for last, days in ((9, 60.0), (200, 200 + ahead), (399, 400.0)):
        log = sound_log(9)
        log = replace(log, readings=(*log.readings, Reading(99, float(last), "ph", 7.0)))
        assert tank.long_enough_for(log).in_days.days == days
