"""Safe cleaning: how much of a mature filter may be washed out before the water turns bad."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np

from aqualib.arguments import one_number
from aqualib.parameters import parameter
from aqualib.tank.maturation import Scenario, simulate
from aqualib.tank.maturation.scenario import PART, Cleaning, must_be_scenario
from aqualib.units import SECONDS_PER_DAY, Q
from aqualib.validity import Range, ValidityError

LIMIT = Range(1e-6, 1000, "mg/L")
HALVINGS = 14
"""Of the range of shares, which leaves it narrower than 0.0001."""


class CleaningPeaks(NamedTuple):
    """The highest total ammonia and nitrite from a cleaning on, in mg/L as nitrogen."""

    ammonia: Any
    nitrite: Any


def peaks_after_cleaning(scenario: Scenario, share: Any, at: Any = None) -> CleaningPeaks:
    """Return the highest ammonia and nitrite from the cleaning to the end, in mg/L as nitrogen.

    `share` of the film on the media (0 to 0.99) is washed off on day `at`, by default the row
    `run_in_before_cleaning` of data/parameters.csv; until then the film settles to what its food
    carries. Begin with `Scenario(seed=1.0, ...)`, a filter that is full, and leave days after it.
    Other events of the scenario stay in.

    >>> from aqualib.units import Q
    >>> full = Scenario(seed=1.0, load=Q(0.2, "g/day"), days=Q(60, "day"))
    >>> peaks_after_cleaning(full, 0.5).nitrite.round(2)
    <Quantity(0.16, 'milligram / liter')>
    """
    day = _day_of_cleaning(scenario, at)
    highest = _highest(scenario, one_number("share", share, PART), day)
    return CleaningPeaks(*(Q(peak, "mg/L") for peak in highest))


def largest_safe_cleaning(
    scenario: Scenario, limit: Any, at: Any = None, nitrite_limit: Any = None
) -> float:
    """Return the largest share of the film that may go, as a plain fraction 0 to 0.99.

    Total ammonia then stays at or below `limit` (mg/L as nitrogen) until the scenario ends, and
    nitrite at or below `nitrite_limit` if that is given. The share is found by halving, and the
    one returned was tried. `at` as in `peaks_after_cleaning`. Raises `ValidityError` if a limit
    is passed without any cleaning.

    >>> from aqualib.units import Q
    >>> full = Scenario(seed=1.0, load=Q(0.2, "g/day"), days=Q(60, "day"))
    >>> round(largest_safe_cleaning(full, Q(0.5, "mg/L")), 1)
    0.4
    """
    day = _day_of_cleaning(scenario, at)
    limits = (
        _one_limit("limit", limit),
        np.inf if nitrite_limit is None else _one_limit("nitrite_limit", nitrite_limit),
    )

    def is_safe(share: float) -> bool:
        return all(np.less_equal(_highest(scenario, share, day), limits))

    _refuse_if_passed(_highest(scenario, PART.low, day), limits)
    if is_safe(PART.high):
        return PART.high
    safe, unsafe = PART.low, PART.high
    for _ in range(HALVINGS):
        middle = (safe + unsafe) / 2
        if is_safe(middle):
            safe = middle
        else:
            unsafe = middle
    return safe


def _highest(scenario: Scenario, share: float, day: float) -> tuple[float, float]:
    """Return the highest total ammonia and nitrite from the cleaning on, in mg/L."""
    events = (*scenario.events, Cleaning(Q(day, "day"), share))
    course = simulate(replace(scenario, events=events)).course
    late = course.time >= day
    return float(course.state.ammonia[late].max()), float(course.state.nitrite[late].max())


def _refuse_if_passed(undisturbed: tuple[float, ...], limits: tuple[float, ...]) -> None:
    names = ("limit", "nitrite_limit")
    for name, peak, limit in zip(names, undisturbed, limits, strict=True):
        if peak > limit:
            why = "is passed even without cleaning"
            valid = f"at least {peak:.3g} mg/L"
            raise ValidityError(name, f"{limit:g} mg/L", valid, "", why)


def _one_limit(name: str, limit: Any) -> float:
    """Return a limit in mg/L."""
    return one_number(name, limit, LIMIT) * 1e3


def _day_of_cleaning(scenario: Scenario, at: Any) -> float:
    must_be_scenario(scenario)
    run_in = parameter("run_in_before_cleaning")
    rule = Range(0, scenario.in_days.days, "day")
    return one_number("at", run_in.quantity if at is None else at, rule) / SECONDS_PER_DAY
