"""A scenario is refused, by the name of the field, if it cannot be."""

from __future__ import annotations

import pickle

import pytest

from aqualib import arguments
from aqualib.tank.maturation import one_set
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.course import play
from aqualib.tank.maturation.rates import best_values
from aqualib.tank.maturation.scenario import Scenario, repeat
from aqualib.units import Q, registry
from aqualib.validity import ValidityError

DAY = Q(3, "day")


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


@pytest.mark.parametrize("events", [5, None, "dose", {1: 2}])
def test_events_that_are_no_list(events):
    with pytest.raises(ValidityError) as error:
        Scenario(events=events)
    assert error.value.parameter == "events"


def test_an_event_is_named_with_its_kind():
    with pytest.raises(ValidityError, match=r"WaterChange\.share = 1.0 is out of range"):
        s.WaterChange(DAY, share=1.0)


def test_more_load_than_the_kinetics_can_speak_of():
    with pytest.raises(ValidityError, match=r"load = 6 g/day in 100 L is more than"):
        Scenario(load=Q(6, "g/day"))


def test_the_model_reads_its_own_units():
    tank = Scenario(
        volume=Q(0.1, "m**3"), temperature=Q(77, "degF"), alkalinity=Q(5, "dKH")
    ).in_days
    assert (tank.volume, tank.load, tank.days) == pytest.approx((100.0, 0.1, 60.0))
    assert (tank.temperature, tank.alkalinity) == pytest.approx((25.0, 89.24))


def test_left_out_seed_of_nitrite_oxidisers_is_the_same():
    assert Scenario(seed=0.02).seeds == (0.02, 0.02)
    assert Scenario(seed=0.02, nitrite_seed=0.1).seeds == (0.02, 0.1)


def test_repeat():
    changes = repeat(s.WaterChange(Q(7, "day"), 0.25), every=Q(1, "week"), until=Q(28, "day"))
    assert [round(change.in_days.at, 9) for change in changes] == [7, 14, 21, 28]
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


def test_travels_to_another_process():
    first = Scenario(events=[s.Dose(DAY, Q(2, "mg/L"))])
    again = pickle.loads(pickle.dumps(first))
    assert again == first
    assert again.events[0].in_days.ammonia == 2.0


def test_a_run_meets_no_quantity(monkeypatch):
    """Events are checked when they are made; pint is not asked again while they are played."""
    changes = repeat(s.WaterChange(Q(1, "day"), 0.1), every=Q(2, "day"), until=Q(59, "day"))
    tank = Scenario(events=[*changes, s.Ultraviolet(DAY), s.PowerCut(Q(9, "day"), Q(2, "hour"))])
    known = best_values()
    monkeypatch.setattr(registry, "Quantity", None)
    monkeypatch.setattr(arguments, "line_to", None)
    play(tank, known, one_set.solve)
