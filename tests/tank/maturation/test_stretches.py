"""Events become stretches in which nothing changes from outside."""

from __future__ import annotations

import pytest

from aqualib.parameters import parameter
from aqualib.tank.maturation import scenario as s
from aqualib.tank.maturation.stretches import timeline
from aqualib.units import Q


def day(value):
    return Q(value, "day")


def at(stretches, time):
    return next(x.conditions for x in reversed(stretches) if x.start <= time)


def test_nothing_happens():
    first, last = timeline(s.Scenario())
    assert (first.start, first.end, last.start, last.end) == (0.0, 60.0, 60.0, 60.0)
    assert first.conditions.load == pytest.approx(1.0)


def test_fed_by_events_alone_if_there_are_any():
    stretches = timeline(
        s.Scenario(
            events=[
                s.Stock(day(10), Q(0.05, "g/day")),
                s.Stock(day(20), Q(0.05, "g/day")),
                s.Feeding(day(30), Q(0.02, "g/day")),
            ]
        )
    )
    loads = [at(stretches, time).load for time in (5, 15, 25, 35)]
    assert loads == pytest.approx([0.0, 0.5, 1.0, 0.2])


def test_what_lasts_ends():
    stretches = timeline(
        s.Scenario(
            events=[
                s.Binder(day(1), 0.5, day(4)),
                s.Binder(day(3), 0.5, day(4)),
                s.PowerCut(day(10), Q(12, "hour")),
                s.PowerCut(day(10.25), Q(12, "hour")),
                s.Binder(day(58), 0.9, day(100)),
            ]
        )
    )
    bound = [at(stretches, time).available for time in (0, 2, 4, 6, 8, 59)]
    assert bound == pytest.approx([1.0, 0.5, 0.25, 0.5, 1.0, 0.1])
    running = [at(stretches, time).running for time in (9.9, 10, 10.6, 10.75)]
    assert running == [True, False, False, True]


def test_lamp_and_temperature():
    stretches = timeline(
        s.Scenario(
            events=[
                s.Ultraviolet(day(5)),
                s.Ultraviolet(day(6), kill_rate=Q(1, "1/hour")),
                s.Ultraviolet(day(7), on=False),
                s.Temperature(day(8), Q(20, "degC")),
            ]
        )
    )
    rates = [at(stretches, time).kill_rate for time in (4, 5, 6, 7)]
    assert rates == pytest.approx([0.0, parameter("ultraviolet_kill_rate").value, 24.0, 0.0])
    assert at(stretches, 9).celsius == pytest.approx(20.0)


def test_events_of_one_moment_stay_together_in_their_order():
    events = [s.Cleaning(day(3), 0.1), s.Dose(day(3), Q(1, "mg/L")), s.Cleaning(day(0), 0.2)]
    first, second, _ = timeline(s.Scenario(events=events))
    assert first.events == (events[2],)
    assert second.events == (events[0], events[1])
