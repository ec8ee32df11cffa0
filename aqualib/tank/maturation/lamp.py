"""An ultraviolet lamp in a tank that is still maturing: on from the start, on later, or off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from aqualib.arguments import one_number
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario, Ultraviolet, must_be_scenario
from aqualib.units import SECONDS_PER_DAY, Q, number
from aqualib.validity import Range, ValidityError

THREE_WEEKS = 21.0


@dataclass(frozen=True, slots=True)
class LampStart:
    """Days until a tank stays safe, as quantities; None if it does not in the scenario's days."""

    wait: Any
    """How long the lamp stays off in the second case."""
    from_start: Any
    after_wait: Any
    off: Any

    def __repr__(self) -> str:
        cases = (
            ("lamp on from the first day", self.from_start),
            (f"lamp on after {number(self.wait.m)} days", self.after_wait),
            ("lamp off", self.off),
        )
        return "\n".join(f"{case}: {_safe(day)}" for case, day in cases)


def _safe(day: Any) -> str:
    return "not safe in this time" if day is None else f"safe from day {day.m:.0f}"


def start_with_lamp(scenario: Scenario, kill_rate: Any, wait: Any = None) -> LampStart:
    """Return when a tank is safe with the lamp on from the first day, on after `wait`, and off.

    `kill_rate` is that of `filtration.ultraviolet.kill_rate`, for bacteria; `wait` left out is
    three weeks, as is common practice. What counts is how much of the seed is not yet on media,
    `Scenario.seed_in_water`: the lamp kills nothing else.

    >>> tank = Scenario(seed=0.001, seed_in_water=0.9)
    >>> start_with_lamp(tank, Q(60, "1/day"))
    lamp on from the first day: safe from day 26
    lamp on after 21 days: safe from day 19
    lamp off: safe from day 19
    """
    must_be_scenario(scenario)
    if any(isinstance(event, Ultraviolet) for event in scenario.events):
        valid = "a scenario without Ultraviolet events"
        raise ValidityError("scenario", "its events", valid, "", "switch a lamp already")
    days = scenario.in_days.days
    rule: Any = Ultraviolet.rules()["kill_rate"]
    rate = one_number("kill_rate", kill_rate, rule) * SECONDS_PER_DAY
    given = Q(min(THREE_WEEKS, days), "day") if wait is None else wait
    later = one_number("wait", given, Range(0, days, "day")) / SECONDS_PER_DAY
    return LampStart(
        wait=Q(later, "day"),
        from_start=_ready(scenario, rate, 0.0),
        after_wait=_ready(scenario, rate, later),
        off=_ready(scenario),
    )


def _ready(scenario: Scenario, rate: float = 0.0, day: float | None = None) -> Any:
    """Return the day from which the tank stays safe; None as `day` leaves the lamp off."""
    if day is not None:
        lamp = Ultraviolet(at=Q(day, "day"), kill_rate=Q(rate, "1/day"))
        scenario = replace(scenario, events=(*scenario.events, lamp))
    ready = simulate(scenario).ready_day
    return None if np.isnan(ready) else Q(ready, "day")
