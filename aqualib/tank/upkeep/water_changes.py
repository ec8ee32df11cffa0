"""Water changes: where something that is made day by day ends up, change after change."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.special import xlog1py

from aqualib.edge import public
from aqualib.parameters import parameter
from aqualib.units import SECONDS_PER_DAY, Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import first_bad

CHANGED_LEVELS = Range(0, 100000, "mg/L")
SHARE_REPLACED = Range(0.001, 1)
DAILY = Range(0, 1000, "mg/L/day")
CHANGED_VOLUMES = Range(0.1, 1000000, "L")


class Changes(NamedTuple):
    """How many water changes it takes."""

    exact: Any
    whole: Any


@public(returns="mg/L", sources=())
def after_water_changes(
    initial: Annotated[Amount, CHANGED_LEVELS],
    gain: Annotated[Amount, CHANGED_LEVELS],
    fraction: Annotated[Number, Range(0, 1)],
    source: Annotated[Amount, CHANGED_LEVELS],
    count: Annotated[Number, Range(0, 100000, "", "", whole=True)],
) -> Number:
    """Return what is in the water just after the last of several equal water changes, in mg/L.

    Nitrate, or anything else that is made and not used up, settles at a level of its own however
    the tank began: too small a change is never made good by patience.

    Equation: c_n = r^n c_0 + p r (1 - r^n) / x + c_w (1 - r^n), r = 1 - x. Each round makes p
    first, then the share x of the water is replaced: c_(n+1) = r (c_n + p) + x c_w.

    initial: c_0, just after the change before the first.
    gain: p, made between two changes.
    fraction: x, the share of the water that is replaced.
    source: c_w, in the new water.
    count: n, how many changes.
    Returns: Of the same substance and basis as what was given.
    Source: a balance of one round, summed as a geometric series.
    Validity: mixed water, the same gain and the same share each time; nothing used up between.

    >>> after_water_changes(Q(0, "mg/L"), Q(10, "mg/L"), 0.25, Q(0, "mg/L"), 4).round(2)
    <Quantity(20.51, 'milligram / liter')>
    """
    stays = 1.0 - fraction
    # 1 - r^n without loss of digits where the share is small.
    replaced = -np.expm1(xlog1py(count, -fraction))
    with np.errstate(divide="ignore", invalid="ignore"):
        made = np.where(np.equal(fraction, 0.0), count, stays * replaced / fraction)
    return initial * stays**count + gain * made + source * replaced


@public(returns="mg/L", sources=())
def steady_peak(
    gain: Annotated[Amount, CHANGED_LEVELS],
    fraction: Annotated[Number, SHARE_REPLACED],
    source: Annotated[Amount, CHANGED_LEVELS] = 0.0,
) -> Number:
    """Return the level just before a water change, once every round is like the last, in mg/L.

    This is the highest the animals meet in the long run. Changing a quarter keeps it at four
    times what is made between two changes.

    Equation: c = p / x + c_w.

    gain: p, made between two changes.
    fraction: x, the share of the water that is replaced.
    source: c_w, in the new water.
    Returns: Of the same substance and basis as what was given.
    Raises: with no change there is no such level.
    Source: the limit of `after_water_changes`, plus p.
    Validity: mixed water, the same gain and the same share each time; nothing used up between.

    >>> steady_peak(Q(10, "mg/L"), 0.25, Q(0, "mg/L"))
    <Quantity(40.0, 'milligram / liter')>
    """
    return gain / fraction + source


@public(returns="mg/L", sources=())
def steady_trough(
    gain: Annotated[Amount, CHANGED_LEVELS],
    fraction: Annotated[Number, SHARE_REPLACED],
    source: Annotated[Amount, CHANGED_LEVELS] = 0.0,
) -> Number:
    """Return the level just after a water change, once every round is like the last, in mg/L.

    A test made right after the change shows this, and hides the peak that came before.

    Equation: c = p (1 - x) / x + c_w.

    gain: p, made between two changes.
    fraction: x, the share of the water that is replaced.
    source: c_w, in the new water.
    Returns: Of the same substance and basis as what was given.
    Raises: with no change there is no such level.
    Source: the limit of `after_water_changes`.
    Validity: mixed water, the same gain and the same share each time; nothing used up between.

    >>> steady_trough(Q(10, "mg/L"), 0.25, Q(0, "mg/L"))
    <Quantity(30.0, 'milligram / liter')>
    """
    return gain * (1.0 - fraction) / fraction + source


@public(returns={"exact": "", "whole": ""}, sources=())
def changes_to_reach(
    remaining: Annotated[Number, Range(1e-6, 1)],
    fraction: Annotated[Number, Range(0.001, 0.999)],
) -> Changes:
    """Return how many water changes thin something down to a share of what it was.

    A medicine or a spill does not go with four changes of a quarter: nearly a third is still
    there.

    Equation: n = ln F / ln(1 - x), and the next whole number.

    remaining: F, the share that may remain.
    fraction: x, the share of the water that is replaced each time.
    Returns: exact (n, as the equation gives it); whole (the whole changes that are enough).
    Source: what stays after n changes, (1 - x)^n, solved for n.
    Validity: nothing is made meanwhile and none comes in with the new water.

    >>> changes_to_reach(0.10, 0.20).whole
    11.0
    """
    exact = np.log(remaining) / np.log1p(-fraction) + 0.0
    # Rounding must not ask for a twelfth change where eleven do.
    return Changes(exact, np.ceil(np.round(exact, 9)))


def check_reachable(gain: Any, limit: Any, source: Any, **_: Any) -> None:
    """Raise where even new water all over would not keep the limit."""
    room = np.asarray(limit) - source
    # A gain of exactly the room left may come out a hair above it.
    bad = (room <= 0) | (gain > room * (1 + 1e-9))
    if np.any(bad):
        valid = "at least source + gain"
        why = "is out of reach even if all water is replaced each time"
        (worst,) = first_bad(bad, limit)
        raise ValidityError("limit", f"{1e3 * worst:g} mg/L", valid, "", why)


@public(returns="", sources=(), together=check_reachable)
def share_needed(
    gain: Annotated[Amount, CHANGED_LEVELS],
    limit: Annotated[Amount, CHANGED_LEVELS],
    source: Annotated[Amount, CHANGED_LEVELS] = 0.0,
) -> Number:
    """Return the least share of the water to replace, so that the peak stays at the limit.

    If the tap water already holds much of what is to be kept low, the share grows fast, and at
    last no change is large enough.

    Equation: x = p / (c_max - c_w).

    gain: p, made between two changes.
    limit: c_max, the highest level wanted, just before a change.
    source: c_w, in the new water.
    Returns: The share, 0 to 1.
    Raises: the limit is out of reach.
    Source: `steady_peak`, solved for the share.
    Validity: the long run; a tank that starts above the limit takes many rounds to come down.

    >>> share_needed(Q(10, "mg/L"), Q(40, "mg/L"), Q(0, "mg/L"))
    0.25
    """
    return gain / (limit - source)


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
    limit: Annotated[Amount, CHANGED_LEVELS],
    source: Annotated[Amount, CHANGED_LEVELS],
    volume: Annotated[Amount, CHANGED_VOLUMES],
    interval: Annotated[Amount, Range(0.01, 400, "day")],
) -> Schedule:
    """Return the share to change at this interval to keep a limit, and the water used in L/week.

    The water a week is the same whether you change little every day or much once a fortnight:
    each change takes out water that stands just at the limit.

    Equation: x = g t / (c_max - c_w), water = x V / t = g V / (c_max - c_w).

    daily_gain: g, what the tank makes a day.
    limit: c_max, the highest level wanted, just before a change.
    source: c_w, in the new water.
    volume: V, the water of the system.
    interval: t, from change to change.
    Returns: interval (the one that was given); share (of the water to replace, 0 to 1); water
        (new water a week).
    Raises: the limit is out of reach.
    Source: `share_needed` with the gain of one interval.
    Validity: the long run, mixed water, nothing used up; the limit binds the peak, not the
        mean.

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
    limit: Annotated[Amount, CHANGED_LEVELS],
    source: Annotated[Amount, CHANGED_LEVELS],
    volume: Annotated[Amount, CHANGED_VOLUMES],
    largest_share: Annotated[Number, Range(0.001, 1)],
) -> Schedule:
    """Return the schedule of fewest changes that keeps a limit with the least water, in L/week.

    No interval saves water over another, so this is the longest one, in whole days, whose change
    is not larger than you want to make at once.

    Equation: the longest t in whole days with x = g t / (c_max - c_w) at most the largest share.

    daily_gain: g, what the tank makes a day.
    limit: c_max, the highest level wanted, just before a change.
    source: c_w, in the new water.
    volume: V, the water of the system.
    largest_share: The largest share of the water you want to replace at once.
    Returns: interval (whole days, up to the row `longest_change_interval`); share (of the water
        to replace, 0 to 1); water (new water a week).
    Raises: no daily change is large enough.
    Source: `share_needed`, tried for every whole day.
    Validity: the long run, mixed water, nothing used up; the limit binds the peak, not the
        mean.
    Departures: a tank is more than one number; the longest interval is not the kindest one.

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
