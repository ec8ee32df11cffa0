"""A scenario cut into stretches of time in which nothing changes but the tank itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from aqualib.tank.maturation import scenario as s


class Conditions(NamedTuple):
    """What holds throughout one stretch."""

    load: float
    """Ammonia nitrogen made, mg/L/day."""
    celsius: float
    available: float
    """Share of the ammonia that nitrifiers can use (less than 1 with a binder)."""
    running: bool
    """False while the power is cut."""
    kill_rate: float
    """Of the ultraviolet lamp, on what is suspended, per day; 0 is off."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """From `start` to `end`, in days: first the events at its start, then `conditions` hold."""

    start: float
    end: float
    events: tuple[s.Event, ...]
    conditions: Conditions


@dataclass(frozen=True, slots=True)
class _Settings:
    """The switches as they stand, while events are played through."""

    load: float
    celsius: float
    kill_rate: float
    bound: tuple[float, ...] = ()
    cuts: int = 0

    def conditions(self) -> Conditions:
        available = 1.0
        for share in self.bound:
            available *= 1.0 - share
        return Conditions(self.load, self.celsius, available, self.cuts == 0, self.kill_rate)


@dataclass(frozen=True, slots=True)
class _End:
    """The end of something that lasts."""

    of: s.Binder | s.PowerCut


def timeline(scenario: s.Scenario) -> tuple[Stretch, ...]:
    """Return the stretches of a scenario, from day 0 to its last day."""
    days = scenario.in_days.days
    marks = sorted(_marks(scenario.events, days), key=lambda mark: mark[0])
    times = sorted({0.0, days, *(time for time, _ in marks)})
    settings = _first_settings(scenario)
    stretches = []
    for start, end in zip(times, [*times[1:], days], strict=True):
        now = [thing for time, thing in marks if time == start]
        for thing in now:
            settings = _after(settings, thing, scenario)
        events = tuple(thing for thing in now if isinstance(thing, s.Event))
        stretches.append(Stretch(start, end, events, settings.conditions()))
    return tuple(stretches)


def _marks(events: tuple[s.Event, ...], days: float) -> Iterator[tuple[float, s.Event | _End]]:
    for event in events:
        at = event.in_days.at
        yield at, event
        if isinstance(event, s.Binder | s.PowerCut):
            end = at + event.in_days.duration
            if end < days:
                yield end, _End(event)


def _first_settings(scenario: s.Scenario) -> _Settings:
    fed = any(isinstance(event, s.Feeding | s.Stock) for event in scenario.events)
    load = 0.0 if fed else scenario.per_litre(scenario.in_days.load)
    return _Settings(load, scenario.in_days.temperature, 0.0)


def _after(now: _Settings, thing: Any, scenario: s.Scenario) -> _Settings:
    """Return the switches after an event or the end of one."""
    if isinstance(thing, _End):
        return _ended(now, thing.of)
    changes: dict[str, Any] = {}
    match thing:
        case s.Feeding():
            changes["load"] = scenario.per_litre(thing.in_days.load)
        case s.Stock():
            changes["load"] = now.load + scenario.per_litre(thing.in_days.load)
        case s.Temperature():
            changes["celsius"] = thing.in_days.temperature
        case s.Ultraviolet():
            changes["kill_rate"] = thing.in_days.kill_rate if thing.on else 0.0
        case s.Binder():
            changes["bound"] = (*now.bound, thing.in_days.share)
        case s.PowerCut():
            changes["cuts"] = now.cuts + 1
    return replace(now, **changes) if changes else now


def _ended(now: _Settings, thing: s.Binder | s.PowerCut) -> _Settings:
    if isinstance(thing, s.PowerCut):
        return replace(now, cuts=now.cuts - 1)
    left = list(now.bound)
    left.remove(thing.in_days.share)
    return replace(now, bound=tuple(left))
