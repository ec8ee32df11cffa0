"""What a start-up comes to on paper: doubling, head start, what is left over, the nitrite peak."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.tank.maturation.kinetics import GROWTH_RATES, HALF_SATURATIONS, SUBSTRATE_LEVELS
from aqualib.units import SECONDS_PER_DAY, Amount, Number
from aqualib.validity import Range, ValidityError

DECAY = Range(0, 10, "1/day")


class Peak(NamedTuple):
    """The top of the middle one of three that turn into one another."""

    time: Any
    concentration: Any


def _check_growing(growth: Any, decay: Any, **_: Any) -> None:
    if np.any(np.asarray(growth) <= np.asarray(decay)):
        per_day = np.min(growth) * SECONDS_PER_DAY
        why = "is no more than `decay`: they die out"
        raise ValidityError("growth", f"{per_day:g} 1/day", "more than `decay`", "", why)


@public(returns="day", sources=(), together=_check_growing)
def doubling_time(
    growth: Annotated[Amount, GROWTH_RATES],
    decay: Annotated[Amount, DECAY],
) -> Number:
    """Return how long bacteria take to become twice as many, in days.

    Nitrifiers take about a day where others take less than an hour: that is why a filter
    needs weeks.

    Equation: t = ln 2 / (mu - b).

    Raises: `growth` is not more than `decay`.
    Source: exponential growth.
    Validity: while food, oxygen and room are plenty.

    >>> doubling_time(Q(0.78, "1/day"), Q(0.096, "1/day")).round(2)
    <Quantity(1.01, 'day')>
    """
    return np.log(2.0) / (growth - decay)


@public(returns="day", sources=(), together=_check_growing)
def head_start(
    times_more: Annotated[Number, Range(1, 1e12)],
    growth: Annotated[Amount, GROWTH_RATES],
    decay: Annotated[Amount, DECAY],
) -> Number:
    """Return how much sooner a larger seed gets there, in days.

    Ten times as many bacteria at the start save about three days, not nine tenths of the wait.

    Equation: t = ln(n) / (mu - b), with n times more bacteria.

    Raises: `growth` is not more than `decay`.
    Source: exponential growth.
    Validity: while food, oxygen and room are plenty.

    >>> head_start(10, Q(0.8, "1/day"), Q(0.05, "1/day")).round(2)
    <Quantity(3.07, 'day')>
    """
    return np.log(times_more) / (growth - decay)


def _check_stays(growth: Any, decay: Any, retention: Any, **_: Any) -> None:
    lost = np.asarray(decay) + 1.0 / np.asarray(retention)
    if np.any(np.asarray(growth) <= lost):
        days = np.min(retention) / SECONDS_PER_DAY
        valid = "more than 1 / (growth - decay)"
        raise ValidityError("retention", f"{days:g} day", valid, "", "washes them out")


@public(returns="mg/L", sources=("HenzeEtAl1987",), together=_check_stays)
def lowest_substrate(
    half_saturation: Annotated[Amount, HALF_SATURATIONS],
    growth: Annotated[Amount, GROWTH_RATES],
    decay: Annotated[Amount, DECAY],
    retention: Annotated[Amount, Range(0.01, 1e6, "day")],
) -> Number:
    """Return the food that bacteria cannot use up, because below it they die out, in mg/L.

    Ammonia and nitrite in a mature tank are not nothing, only little.

    Equation: S = K (b + 1/theta) / (mu - b - 1/theta).

    half_saturation: As nitrogen.
    retention: How long cells stay before they are washed out, theta.
    Returns: As nitrogen.
    Raises: cells are washed out faster than they grow.
    Source: HenzeEtAl1987, growth equation at rest; algebra.
    Validity: mixed water, one kind of bacteria, the rest plenty.

    >>> day = [Q(0.8, "1/day"), Q(0.05, "1/day"), Q(10, "day")]
    >>> lowest_substrate(Q(1, "mg/L"), *day).round(3)
    <Quantity(0.231, 'milligram / liter')>
    """
    lost = decay + 1.0 / retention
    return half_saturation * lost / (growth - lost)


def _check_load(load: Any, area: Any, capacity: Any, **_: Any) -> None:
    if np.any(np.asarray(load) >= np.asarray(area) * np.asarray(capacity)):
        per_day = np.max(load) * 1e3 * SECONDS_PER_DAY
        why = "is more than the media can take: ammonia never stops rising"
        raise ValidityError("load", f"{per_day:g} g/day", "less than area x capacity", "", why)


@public(returns="mg/L", sources=(), together=_check_load)
def ammonia_at_rest(
    load: Annotated[Amount, Range(0, 1e6, "g/day")],
    area: Annotated[Amount, Range(1e-6, 1e6, "m**2")],
    capacity: Annotated[Amount, Range(1e-3, 10, "g/m**2/day")],
    half_saturation: Annotated[Amount, HALF_SATURATIONS],
) -> Number:
    """Return the ammonia at which a full film keeps up with the load, in mg/L as nitrogen.

    Twice the media do not halve the ammonia: near the limit they do far more, far from it less.

    Equation: C = K P / (r A - P), with load P, area A and areal capacity r.

    half_saturation: As nitrogen.
    Returns: As nitrogen.
    Raises: the load is more than the capacity.
    Source: mass balance of a mixed tank.
    Validity: full film, mixed water, oxygen and alkalinity plenty.

    >>> tank = [Q(1.5, "g/day"), Q(10, "m**2"), Q(0.3, "g/m**2/day"), Q(1, "mg/L")]
    >>> ammonia_at_rest(*tank).round(3)
    <Quantity(1.0, 'milligram / liter')>
    """
    return half_saturation * load / (capacity * area - load)


def _check_differ(first: Any, second: Any, **_: Any) -> None:
    if np.any(np.abs(np.asarray(first) / np.asarray(second) - 1.0) < 1e-6):
        per_day = np.min(second) * SECONDS_PER_DAY
        valid = "different from `first`"
        raise ValidityError("second", f"{per_day:g} 1/day", valid, "", "equals `first`")


@public(returns={"time": "day", "concentration": "mg/L"}, sources=(), together=_check_differ)
def nitrite_peak(
    start: Annotated[Amount, SUBSTRATE_LEVELS],
    first: Annotated[Amount, GROWTH_RATES],
    second: Annotated[Amount, GROWTH_RATES],
) -> Peak:
    """Return when and how high nitrite peaks, in days and mg/L as nitrogen.

    Nitrite piles up until its own bacteria work as fast as those before them.

    Equation: t = ln(k1 / k2) / (k1 - k2); C = C0 (k1 / k2)^(-k2 / (k1 - k2)).

    start: As nitrogen. Ammonia at the start, C0.
    first: Rate k1 at which ammonia becomes nitrite.
    second: Rate k2 at which nitrite becomes nitrate.
    Returns: concentration (as nitrogen).
    Raises: both rates are equal.
    Source: the chain of two first-order reactions (Bateman).
    Validity: bacteria that do not grow any more, and little food; `simulate` has the rest.

    >>> nitrite_peak(Q(4, "mg/L"), Q(0.25, "1/day"), Q(0.15, "1/day")).time.round(2)
    <Quantity(5.11, 'day')>
    """
    ratio = first / second
    time = np.log(ratio) / (first - second)
    return Peak(time, start * ratio ** (-second / (first - second)))
