"""The alkalinity bill: what nitrification uses up, what new water brings, what is to be added."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.tank.upkeep.water_changes import (
    SHARE_REPLACED,
    after_water_changes,
    steady_peak,
    steady_trough,
)
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.alkalinity import bicarbonate_dose
from aqualib.water.nitrogen import alkalinity_demand
from aqualib.water.properties import first_bad

ALKALINITY = Range(0, 1000, "mg/L")
NITRIFIED = Range(0, 100000, "g/day")


class Bill(NamedTuple):
    """Alkalinity as CaCO3 that is used and that new water brings, and what makes up for it."""

    used: Any
    brought: Any
    bicarbonate: Any


class Swing(NamedTuple):
    """Alkalinity just before and just after a water change, in the long run."""

    before: Any
    after: Any


@public(returns="mg/L/day", sources=("EPA1993", "IUPACAtomicWeights"))
def alkalinity_used(
    nitrified: Annotated[Amount, NITRIFIED],
    volume: Annotated[Amount, Range(0.1, 1000000, "L")],
) -> Number:
    """Return how fast the alkalinity of a tank falls because its filter works, in mg/L/day.

    A busy filter eats the buffer that holds the pH: what falls is not made good by itself.

    Equation: 7.145 N / V.

    nitrified: N, ammonia turned into nitrate, as nitrogen.
    volume: V, water in the system.
    Returns: As CaCO3.
    Source: EPA1993 (two moles of acid), IUPACAtomicWeights; `water.nitrogen.alkalinity_demand`.
    Validity: mixed water; nothing dissolves into it and no nitrate is removed.
    Departures: no cell growth, which would take 1.2 % off.

    >>> alkalinity_used(Q(0.1, "g/day"), Q(100, "L")).round(2)
    <Quantity(7.15, 'milligram / liter / day')>
    """
    return alkalinity_demand.bare(nitrified) / volume


@public(
    returns={"used": "g/week", "brought": "g/week", "bicarbonate": "g/week"},
    sources=("EPA1993", "IUPACAtomicWeights"),
)
def bicarbonate_bill(
    nitrified: Annotated[Amount, NITRIFIED],
    water_changed: Annotated[Amount, Range(0, 1000000, "L/week")],
    alkalinity: Annotated[Amount, ALKALINITY],
    source_alkalinity: Annotated[Amount, ALKALINITY],
) -> Bill:
    """Return the sodium bicarbonate a week that holds the alkalinity where it is, in g/week.

    New water pays a part of the bill if it is harder than the tank, and adds to it if softer.

    Equation: used = 7.145 N, brought = W (A_w - A), NaHCO3 = 1.6787 (used - brought), never
    below 0.

    nitrified: N, ammonia turned into nitrate, as nitrogen.
    water_changed: W, new water that replaces as much old water.
    alkalinity: A, which is to be held, as CaCO3.
    source_alkalinity: A_w, of the new water, as CaCO3.
    Returns: used (alkalinity that nitrification takes, as CaCO3); brought (alkalinity that new
        water brings more than the old takes away, as CaCO3, may be below 0); bicarbonate
        (sodium bicarbonate, NaHCO3, to add; 0 if new water brings enough).
    Source: EPA1993 (two moles of acid), IUPACAtomicWeights; `water.nitrogen.alkalinity_demand`
        and `water.alkalinity.bicarbonate_dose`.
    Validity: the dose is spread over the week; rock, sand and shells give nothing.
    Departures: no cell growth, which would take 1.2 % off what is used.

    >>> mg = lambda x: Q(x, "mg/L")
    >>> bicarbonate_bill(Q(0.1, "g/day"), Q(25, "L/week"), mg(80), mg(120)).bicarbonate.round(2)
    <Quantity(6.72, 'gram / week')>
    """
    used = alkalinity_demand.bare(nitrified)
    brought = water_changed * (source_alkalinity - alkalinity)
    # The dose for a litre that is short of one amount is, for another amount, in proportion.
    short = np.maximum(used - brought, 0.0)
    return Bill(used, brought, bicarbonate_dose.bare(short, 1.0))


def _refuse_empty(lowest: Any, fall: Any) -> None:
    bad = np.round(lowest, 12) < 0
    if np.any(bad):
        (worst,) = first_bad(bad, fall)
        why = "uses the alkalinity up before the next change, and nitrification would stop"
        valid = "less than what the water holds"
        raise ValidityError("fall", f"{1e3 * worst:g} mg/L", valid, "", why)


def check_course(
    initial: Any, fall: Any, fraction: Any, source_alkalinity: Any, count: Any, **_: Any
) -> None:
    """Raise where the alkalinity would run out on the way."""
    # Level after level moves one way, so the lowest is before the first change or the last.
    last = np.maximum(np.asarray(count) - 1, 0)
    before_last = after_water_changes.bare(initial, -fall, fraction, source_alkalinity, last)
    lowest = np.minimum(initial, before_last) - fall
    _refuse_empty(np.where(np.asarray(count) > 0, lowest, 0.0), fall + 0.0 * lowest)


@public(returns="mg/L", sources=(), together=check_course)
def alkalinity_after_changes(
    initial: Annotated[Amount, ALKALINITY],
    fall: Annotated[Amount, ALKALINITY],
    fraction: Annotated[Number, Range(0, 1)],
    source_alkalinity: Annotated[Amount, ALKALINITY],
    count: Annotated[Number, Range(0, 100000, "", "", whole=True)],
) -> Number:
    """Return the alkalinity just after the last of several water changes, in mg/L.

    With water changes alone and no bicarbonate, alkalinity sinks to a level of its own.

    Equation: that of `after_water_changes` with a gain below 0: p = -fall.

    initial: At the start, as CaCO3.
    fall: Used up between two changes, as CaCO3.
    fraction: The share of the water that is replaced.
    source_alkalinity: Of the new water, as CaCO3.
    count: How many changes.
    Returns: As CaCO3.
    Raises: alkalinity would run out.
    Source: `after_water_changes`.
    Validity: the same fall each time; really the filter slows down where alkalinity is short.

    >>> mg = lambda x: Q(x, "mg/L")
    >>> alkalinity_after_changes(mg(120), mg(20), 0.25, mg(120), 2).round(2)
    <Quantity(93.75, 'milligram / liter')>
    """
    return after_water_changes.bare(initial, -fall, fraction, source_alkalinity, count)


def check_swing(fall: Any, fraction: Any, source_alkalinity: Any, **_: Any) -> None:
    """Raise where the alkalinity would run out in the long run."""
    lowest = np.asarray(steady_peak.bare(-fall, fraction, source_alkalinity))
    _refuse_empty(lowest, fall + 0.0 * lowest)


@public(returns={"before": "mg/L", "after": "mg/L"}, sources=(), together=check_swing)
def alkalinity_swing(
    fall: Annotated[Amount, ALKALINITY],
    fraction: Annotated[Number, SHARE_REPLACED],
    source_alkalinity: Annotated[Amount, ALKALINITY],
) -> Swing:
    """Return the alkalinity before and after a water change in the long run, in mg/L.

    The lower of the two is what the filter and the pH have to live with.

    Equation: before = A_w - f / x, after = A_w - f (1 - x) / x.

    fall: f, used up between two changes, as CaCO3.
    fraction: x, the share of the water that is replaced.
    source_alkalinity: A_w, of the new water, as CaCO3.
    Returns: before (just before a change, as CaCO3); after (just after a change, as CaCO3).
    Raises: alkalinity would run out.
    Source: `steady_peak` and `steady_trough`, with a gain below 0.
    Validity: no bicarbonate is added; the same fall each time.

    >>> alkalinity_swing(Q(20, "mg/L"), 0.25, Q(120, "mg/L")).before
    <Quantity(40.0, 'milligram / liter')>
    """
    return Swing(
        steady_peak.bare(-fall, fraction, source_alkalinity),
        steady_trough.bare(-fall, fraction, source_alkalinity),
    )
