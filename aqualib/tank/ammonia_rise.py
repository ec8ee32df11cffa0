"""How fast ammonia rises where no filter takes it, and how long it takes to a limit."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Range, public
from aqualib.validity import ValidityError
from aqualib.water.properties import first_bad

PRODUCTION = Range(0, 1e6, "g/day")
CONCENTRATION = Range(0, 1000, "mg/L")


@public(returns="mg/L/day", sources=())
def ammonia_rise(
    production: Annotated[Amount, PRODUCTION],
    volume: Annotated[Amount, Range(0.1, 1e6, "L")],
) -> Any:
    """Return how fast ammonia rises in a tank without a working filter, in mg/L/day as nitrogen.

    A small tank warns late: the same food in half the water rises twice as fast.

    Equation: r = P / V.

    Parameters
    ----------
    production : quantity, 0 to 1e+06 g/day
        As given by `ammonia_production`.
    volume : quantity, 0.1 to 1e+06 L
        The water that is really there.

    Returns
    -------
    quantity in mg/L/day, as nitrogen

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: mass balance.
    Validity: mixed water; no filter, plants or water change take ammonia out.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> round(ammonia_rise(Q(0.1, "g/day"), Q(50, "L")).m_as("mg/L/day"), 2)
    2.0
    """
    return production / volume


def _check_below(limit: Any, start: Any, **_: Any) -> None:
    passed = np.asarray(limit) < np.asarray(start) * (1.0 - 1e-9)
    if np.any(passed):
        why = "is below `start`: it is passed already"
        (value,) = first_bad(passed, limit)
        raise ValidityError("limit", f"{value * 1000.0:g} mg/L", "at least `start`", "", why)


@public(returns="hour", sources=(), together=_check_below)
def time_to_reach(
    limit: Annotated[Amount, CONCENTRATION],
    start: Annotated[Amount, CONCENTRATION],
    rise: Annotated[Amount, Range(1e-3, 1e4, "mg/L/day")],
) -> Any:
    """Return how long ammonia takes to rise from a start to a limit, in hours.

    This is the time you have to act when a filter has stopped.

    Equation: t = (C_limit - C_start) / r.

    Parameters
    ----------
    limit : quantity, 0 to 1000 mg/L
    start : quantity, 0 to 1000 mg/L
    rise : quantity, 0.001 to 10000 mg/L/day
        As given by `ammonia_rise`.

    Returns
    -------
    quantity in hours

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or `limit` is below `start`.

    Notes
    -----
    Source: mass balance.
    Validity: a steady rise, as `ammonia_rise`; after a meal it is steeper for some hours.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> time_to_reach(Q(1, "mg/L"), Q(0, "mg/L"), Q(2, "mg/L/day")).round(1)
    <Quantity(12.0, 'hour')>
    """
    return np.maximum(limit - start, 0.0) / rise
