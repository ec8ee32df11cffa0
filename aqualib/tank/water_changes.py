"""Water changes: where something that is made day by day ends up, change after change."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np
from scipy.special import xlog1py

from aqualib.edge import Amount, Number, Range, public
from aqualib.validity import ValidityError
from aqualib.water.properties import first_bad

CONCENTRATION = Range(0, 100000, "mg/L")
SHARE_REPLACED = Range(0.001, 1)


class Changes(NamedTuple):
    """How many water changes it takes."""

    exact: Any
    whole: Any


@public(returns="mg/L", sources=())
def after_water_changes(
    initial: Annotated[Amount, CONCENTRATION],
    gain: Annotated[Amount, CONCENTRATION],
    fraction: Annotated[Number, Range(0, 1)],
    source: Annotated[Amount, CONCENTRATION],
    count: Annotated[Number, Range(0, 100000, "", "", whole=True)],
) -> Any:
    """Return what is in the water just after the last of several equal water changes, in mg/L.

    Nitrate, or anything else that is made and not used up, settles at a level of its own however
    the tank began: too small a change is never made good by patience.

    Equation: c_n = r^n c_0 + p r (1 - r^n) / x + c_w (1 - r^n), r = 1 - x. Each round makes p
    first, then the share x of the water is replaced: c_(n+1) = r (c_n + p) + x c_w.

    Parameters
    ----------
    initial : quantity, 0 to 100000 mg/L
        c_0, just after the change before the first.
    gain : quantity, 0 to 100000 mg/L
        p, made between two changes.
    fraction : plain number, 0 to 1
        x, the share of the water that is replaced.
    source : quantity, 0 to 100000 mg/L
        c_w, in the new water.
    count : plain number, 0 to 100000 (whole number)
        n, how many changes.

    Returns
    -------
    quantity in mg/L, of the same substance and basis as what was given

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: a balance of one round, summed as a geometric series.
    Validity: mixed water, the same gain and the same share each time; nothing used up between.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
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
    gain: Annotated[Amount, CONCENTRATION],
    fraction: Annotated[Number, SHARE_REPLACED],
    source: Annotated[Amount, CONCENTRATION] = 0.0,
) -> Any:
    """Return the level just before a water change, once every round is like the last, in mg/L.

    This is the highest the animals meet in the long run. Changing a quarter keeps it at four
    times what is made between two changes.

    Equation: c = p / x + c_w.

    Parameters
    ----------
    gain : quantity, 0 to 100000 mg/L
        p, made between two changes.
    fraction : plain number, 0.001 to 1
        x, the share of the water that is replaced.
    source : quantity, 0 to 100000 mg/L
        c_w, in the new water.

    Returns
    -------
    quantity in mg/L, of the same substance and basis as what was given

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit; with no change there is no such level.

    Notes
    -----
    Source: the limit of `after_water_changes`, plus p.
    Validity: mixed water, the same gain and the same share each time; nothing used up between.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> steady_peak(Q(10, "mg/L"), 0.25, Q(0, "mg/L"))
    <Quantity(40.0, 'milligram / liter')>
    """
    return gain / fraction + source


@public(returns="mg/L", sources=())
def steady_trough(
    gain: Annotated[Amount, CONCENTRATION],
    fraction: Annotated[Number, SHARE_REPLACED],
    source: Annotated[Amount, CONCENTRATION] = 0.0,
) -> Any:
    """Return the level just after a water change, once every round is like the last, in mg/L.

    A test made right after the change shows this, and hides the peak that came before.

    Equation: c = p (1 - x) / x + c_w.

    Parameters
    ----------
    gain : quantity, 0 to 100000 mg/L
        p, made between two changes.
    fraction : plain number, 0.001 to 1
        x, the share of the water that is replaced.
    source : quantity, 0 to 100000 mg/L
        c_w, in the new water.

    Returns
    -------
    quantity in mg/L, of the same substance and basis as what was given

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit; with no change there is no such level.

    Notes
    -----
    Source: the limit of `after_water_changes`.
    Validity: mixed water, the same gain and the same share each time; nothing used up between.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> steady_trough(Q(10, "mg/L"), 0.25, Q(0, "mg/L"))
    <Quantity(30.0, 'milligram / liter')>
    """
    return gain * (1.0 - fraction) / fraction + source


@public(returns={"exact": "", "whole": ""}, sources=())
def changes_to_reach(
    remaining: Annotated[Number, Range(1e-6, 1)],
    fraction: Annotated[Number, Range(0.001, 0.999)],
) -> Any:
    """Return how many water changes thin something down to a share of what it was.

    A medicine or a spill does not go with four changes of a quarter: nearly a third is still
    there.

    Equation: n = ln F / ln(1 - x), and the next whole number.

    Parameters
    ----------
    remaining : plain number, 1e-06 to 1
        F, the share that may remain.
    fraction : plain number, 0.001 to 0.999
        x, the share of the water that is replaced each time.

    Returns
    -------
    exact : plain number
        n, as the equation gives it.
    whole : plain number
        The whole changes that are enough.

    Raises
    ------
    ValidityError
        If a value is out of range or has a unit.

    Notes
    -----
    Source: what stays after n changes, (1 - x)^n, solved for n.
    Validity: nothing is made meanwhile and none comes in with the new water.
    Departures: none.

    Examples
    --------
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
    gain: Annotated[Amount, CONCENTRATION],
    limit: Annotated[Amount, CONCENTRATION],
    source: Annotated[Amount, CONCENTRATION] = 0.0,
) -> Any:
    """Return the least share of the water to replace, so that the peak stays at the limit.

    If the tap water already holds much of what is to be kept low, the share grows fast, and at
    last no change is large enough.

    Equation: x = p / (c_max - c_w).

    Parameters
    ----------
    gain : quantity, 0 to 100000 mg/L
        p, made between two changes.
    limit : quantity, 0 to 100000 mg/L
        c_max, the highest level wanted, just before a change.
    source : quantity, 0 to 100000 mg/L
        c_w, in the new water.

    Returns
    -------
    plain number: the share, 0 to 1

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or if the limit is out of reach.

    Notes
    -----
    Source: `steady_peak`, solved for the share.
    Validity: the long run; a tank that starts above the limit takes many rounds to come down.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> share_needed(Q(10, "mg/L"), Q(40, "mg/L"), Q(0, "mg/L"))
    0.25
    """
    return gain / (limit - source)
