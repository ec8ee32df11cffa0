"""Least water: how often and how much to change so that a limit is kept."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import parameter
from aqualib.tank.water_changes import CONCENTRATION, check_reachable, share_needed
from aqualib.units import SECONDS_PER_DAY
from aqualib.validity import ValidityError
from aqualib.water.properties import first_bad

DAILY = Range(0, 1000, "mg/L/day")
VOLUME = Range(0.1, 1000000, "L")


class Schedule(NamedTuple):
    """A water change of `share` every `interval`; `water` is what that takes."""

    interval: Any
    share: Any
    water: Any


def _fits(share: Any, largest_share: Any) -> Any:
    """Return whether a change is small enough; what rounding adds does not make it too large."""
    return np.round(share - largest_share, 9) <= 0


def check_interval(daily_gain: Any, limit: Any, source: Any, interval: Any, **_: Any) -> None:
    """Raise where even new water all over would not keep the limit."""
    check_reachable(daily_gain * interval, limit, source)


@public(
    returns={"interval": "day", "share": "", "water": "L/week"}, sources=(), together=check_interval
)
def schedule_for_interval(
    daily_gain: Annotated[Amount, DAILY],
    limit: Annotated[Amount, CONCENTRATION],
    source: Annotated[Amount, CONCENTRATION],
    volume: Annotated[Amount, VOLUME],
    interval: Annotated[Amount, Range(0.01, 400, "day")],
) -> Any:
    """Return the share to change at this interval to keep a limit, and the water used in L/week.

    The water a week is the same whether you change little every day or much once a fortnight:
    each change takes out water that stands just at the limit.

    Equation: x = g t / (c_max - c_w), water = x V / t = g V / (c_max - c_w).

    Parameters
    ----------
    daily_gain : quantity, 0 to 1000 mg/L/day
        g, what the tank makes a day.
    limit : quantity, 0 to 100000 mg/L
        c_max, the highest level wanted, just before a change.
    source : quantity, 0 to 100000 mg/L
        c_w, in the new water.
    volume : quantity, 0.1 to 1e+06 L
        V, the water of the system.
    interval : quantity, 0.01 to 400 day
        t, from change to change.

    Returns
    -------
    interval : quantity in day
        The interval that was given.
    share : plain number
        The share of the water to replace, 0 to 1.
    water : quantity in L/week
        New water a week.

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or if the limit is out of reach.

    Notes
    -----
    Source: `share_needed` with the gain of one interval.
    Validity: the long run, mixed water, nothing used up; the limit binds the peak, not the mean.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> mg = lambda x: Q(x, "mg/L")
    >>> plan = schedule_for_interval(Q(1, "mg/L/day"), mg(40), mg(5), Q(100, "L"), Q(7, "day"))
    >>> plan.share, plan.water.round(1)
    (0.2, <Quantity(20.0, 'liter / week')>)
    """
    share = share_needed.bare(daily_gain * interval, limit, source)
    return Schedule(interval, share, share * volume / interval)


def check_least(daily_gain: Any, limit: Any, source: Any, largest_share: Any, **_: Any) -> None:
    """Raise where even a change every day is not enough."""
    check_reachable(daily_gain * SECONDS_PER_DAY, limit, source)
    share = np.asarray(share_needed.bare(daily_gain * SECONDS_PER_DAY, limit, source))
    bad = ~np.asarray(_fits(share, largest_share))
    if np.any(bad):
        needed, largest = first_bad(bad, share, largest_share)
        why = "is too small even if water is changed every day"
        raise ValidityError("largest_share", f"{largest:g}", f"at least {needed:g}", "", why)


@public(
    returns={"interval": "day", "share": "", "water": "L/week"}, sources=(), together=check_least
)
def least_water(
    daily_gain: Annotated[Amount, DAILY],
    limit: Annotated[Amount, CONCENTRATION],
    source: Annotated[Amount, CONCENTRATION],
    volume: Annotated[Amount, VOLUME],
    largest_share: Annotated[Number, Range(0.001, 1)],
) -> Any:
    """Return the schedule of fewest changes that keeps a limit with the least water, in L/week.

    No interval saves water over another, so this is the longest one, in whole days, whose change
    is not larger than you want to make at once.

    Equation: the longest t in whole days with x = g t / (c_max - c_w) at most the largest share.

    Parameters
    ----------
    daily_gain : quantity, 0 to 1000 mg/L/day
        g, what the tank makes a day.
    limit : quantity, 0 to 100000 mg/L
        c_max, the highest level wanted, just before a change.
    source : quantity, 0 to 100000 mg/L
        c_w, in the new water.
    volume : quantity, 0.1 to 1e+06 L
        V, the water of the system.
    largest_share : plain number, 0.001 to 1
        The largest share of the water you want to replace at once.

    Returns
    -------
    interval : quantity in day
        Whole days, up to the row `longest_change_interval` of data/parameters.csv.
    share : plain number
        The share of the water to replace, 0 to 1.
    water : quantity in L/week
        New water a week.

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or if no daily change is large enough.

    Notes
    -----
    Source: `share_needed`, tried for every whole day.
    Validity: the long run, mixed water, nothing used up; the limit binds the peak, not the mean.
    Departures: a tank is more than one number; the longest interval is not the kindest one.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> mg = lambda x: Q(x, "mg/L")
    >>> least_water(Q(1, "mg/L/day"), mg(40), mg(0), Q(100, "L"), 0.25).interval
    <Quantity(10.0, 'day')>
    """
    daily = share_needed.bare(daily_gain * SECONDS_PER_DAY, limit, source)
    most = round(parameter("longest_change_interval").value)
    # Shares grow with the interval, so the days that are allowed are the first ones: count them.
    interval = SECONDS_PER_DAY * sum(
        _fits(daily * day, largest_share) for day in range(1, most + 1)
    )
    share = share_needed.bare(daily_gain * interval, limit, source)
    return Schedule(interval, share, share * volume / interval)
