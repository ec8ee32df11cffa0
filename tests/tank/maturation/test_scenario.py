"""A scenario is refused, by the name of the field, if it cannot be."""

from __future__ import annotations

import pickle

import numpy as np
import pytest

from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.scenario import Scenario, repeat
from aqualib.units import Q
from aqualib.validity import ValidityError

DAY = Q(3, "day")

BAD_FIELDS = {
    "volume": [Q(0, "L"), Q(-1, "L"), Q(100, "kg"), 100, "100 L", None, True, Q(np.nan, "L")],
    "media_area": [Q(0, "m**2"), Q(2, "m"), 2.0, Q([1, 2], "m**2"), None],
    "load": [Q(-1, "g/day"), Q(0.1, "g"), Q(6, "g/day"), 0.1, Q(np.inf, "g/day")],
    "seed": [0, 1e-9, -0.1, 1.1, np.nan, "much", None, True, Q(1, "g"), [0.1, 0.2]],
    "temperature": [Q(3, "degC"), Q(31, "degC"), 25, Q(25, "m")],
    "salinity": [-1, 41, "sea", None, np.nan],
    "ph": [6.4, 9.1, None, "7", True],
    "alkalinity": [Q(0, "mg/L"), Q(1001, "mg/L"), 120, Q(120, "degC")],
    "oxygen": [Q(-1, "mg/L"), Q(21, "mg/L"), 7.0, True],
    "nitrite_seed": [0, 2, "none", True],
    "seed_in_water": [0, 1, None, "all"],
    "ph_scale": ["NBS", 1, None],
    "alkalinity_kept": ["yes", 1, None],
    "nitrite_form": ["HNO2", None, 1],
    "days": [Q(0.5, "day"), Q(401, "day"), 60, Q(60, "L"), None],
    "events": [5, None, "dose", {1: 2}],
}


@pytest.mark.parametrize(
    ("name", "value"), [(name, bad) for name, values in BAD_FIELDS.items() for bad in values]
)
def test_bad_field(name, value):
    with pytest.raises(ValidityError) as error:
        Scenario(**{name: value})
    assert error.value.parameter == name


def test_every_field_has_been_tried():
    assert set(BAD_FIELDS) == {*Scenario.rules, "events"}


BAD_EVENTS = [
    (s.Dose, {"ammonia": Q(-1, "mg/L")}, "Dose.ammonia"),
    (s.Dose, {"ammonia": 3.0}, "Dose.ammonia"),
    (s.Dose, {"ammonia": None}, "Dose.ammonia"),
    (s.Dose, {"ammonia": Q([1, 2], "mg/L")}, "Dose.ammonia"),
    (s.Feeding, {"load": Q(1, "g")}, "Feeding.load"),
    (s.Stock, {"load": "ten fish"}, "Stock.load"),
    (s.WaterChange, {"share": 1.0}, "WaterChange.share"),
    (s.WaterChange, {"share": Q(25, "L")}, "WaterChange.share"),
    (s.WaterChange, {"share": 0.2, "alkalinity": Q(-1, "mg/L")}, "WaterChange.alkalinity"),
    (s.Cleaning, {"share": -0.1}, "Cleaning.share"),
    (s.Seeding, {"seed": 1.5}, "Seeding.seed"),
    (s.Ultraviolet, {"on": "yes"}, "Ultraviolet.on"),
    (s.Ultraviolet, {"kill_rate": Q(-1, "1/day")}, "Ultraviolet.kill_rate"),
    (s.Binder, {"share": 2, "duration": DAY}, "Binder.share"),
    (s.Binder, {"share": 0.5, "duration": 2}, "Binder.duration"),
    (s.Temperature, {"temperature": Q(40, "degC")}, "Temperature.temperature"),
    (s.PowerCut, {"duration": Q(-1, "hour")}, "PowerCut.duration"),
    (s.Buffer, {"alkalinity": 50}, "Buffer.alkalinity"),
]


@pytest.mark.parametrize(("kind", "given", "name"), BAD_EVENTS)
def test_bad_event(kind, given, name):
    with pytest.raises(ValidityError) as error:
        kind(DAY, **given)
    assert error.value.parameter == name


@pytest.mark.parametrize("at", [3, None, Q(-1, "day"), Q(500, "day"), Q(3, "L"), Q(np.nan, "day")])
def test_bad_time(at):
    with pytest.raises(ValidityError, match=r"Dose\.at"):
        s.Dose(at, ammonia=Q(1, "mg/L"))


def test_event_after_the_last_day():
    with pytest.raises(ValidityError, match=r"events\[1\]\.at = 61 day lies after the last day"):
        Scenario(events=(s.Cleaning(DAY, 0.1), s.Cleaning(Q(61, "day"), 0.1)))


@pytest.mark.parametrize("thing", ["clean", 3, None, s.Event(DAY)])
def test_what_is_no_event(thing):
    with pytest.raises(ValidityError, match=r"events\[0\]"):
        Scenario(events=[thing])


def test_load_of_an_event_must_be_one_the_kinetics_can_speak_of():
    with pytest.raises(ValidityError, match=r"events\[0\]\.load"):
        Scenario(events=[s.Stock(DAY, Q(100, "g/day"))])


def test_any_unit():
    a = Scenario(volume=Q(100, "L"), temperature=Q(25, "degC"), alkalinity=Q(5, "dKH"))
    b = Scenario(volume=Q(0.1, "m**3"), temperature=Q(77, "degF"), alkalinity=Q(89.24, "mg/L"))
    for name in Scenario.rules:
        assert a.plain[name] == (pytest.approx(b.plain[name]) if name != "ph_scale" else "total")


def test_left_out_seed_of_nitrite_oxidisers_is_the_same():
    assert Scenario(seed=0.02).plain["nitrite_seed"] == 0.02


def test_repeat():
    changes = repeat(s.WaterChange(Q(7, "day"), 0.25), every=Q(1, "week"), until=Q(28, "day"))
    assert [round(change.plain("at"), 9) for change in changes] == [7, 14, 21, 28]
    assert {change.share for change in changes} == {0.25}


@pytest.mark.parametrize(
    ("every", "until", "name"),
    [
        (Q(0, "day"), DAY, "every"),
        (7, DAY, "every"),
        (DAY, 7, "until"),
        (DAY, Q(1, "day"), "until"),
    ],
)
def test_bad_repeat(every, until, name):
    with pytest.raises(ValidityError, match=name):
        repeat(s.Cleaning(Q(2, "day"), 0.1), every=every, until=until)


def test_frozen():
    with pytest.raises(AttributeError):
        Scenario().seed = 0.1
    with pytest.raises(AttributeError):
        s.Cleaning(DAY, 0.1).share = 0.2


def test_travels_to_another_process():
    first = Scenario(events=[s.Dose(DAY, Q(2, "mg/L"))])
    again = pickle.loads(pickle.dumps(first))
    assert again.plain == first.plain
    assert again.events[0].plain("ammonia") == 2.0
