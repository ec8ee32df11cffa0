"""A tank in which an ultraviolet lamp works: how fast what swims there is cleared, and how far."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.filtration.hydraulics.hose import LOOP_FLOWS
from aqualib.filtration.hydraulics.pump import LEAST_FLOW
from aqualib.units import Amount, Number
from aqualib.validity import Range

LAMP_VOLUMES = Range(0.1, 1e6, "L")
PER_PASS = Range(0, 1)
SOME_PER_PASS = Range(1e-6, 1)


@public(returns="1/day", sources=())
def kill_rate(
    flow: Annotated[Amount, LOOP_FLOWS],
    inactivated: Annotated[Number, PER_PASS],
    volume: Annotated[Amount, LAMP_VOLUMES],
) -> Number:
    """Return how fast a lamp clears what swims in the tank, per day.

    It counts only for what is suspended: nothing on glass, gravel, media or fish ever passes.

    Equation: k = Q f / V, with f the share inactivated in one pass.

    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f, see `inactivated_share`.
    Source: the balance of a well-mixed tank.
    Validity: a lamp that runs all day; else times the share of the day that it runs.
    Departures: corners that the flow does not reach are cleared more slowly.

    >>> kill_rate(Q(600, "L/h"), 0.9, Q(200, "L")).round(1)
    <Quantity(64.8, '1 / day')>
    """
    return flow * inactivated / volume


@public(returns="", sources=())
def survivors(
    volume: Annotated[Amount, LAMP_VOLUMES],
    flow: Annotated[Amount, LOOP_FLOWS],
    inactivated: Annotated[Number, PER_PASS],
    time: Annotated[Amount, Range(0, 1e5, "h")],
) -> Number:
    """Return the share of what swam in the tank that is left after a time, as a plain fraction.

    It never reaches nothing: each turnover leaves about a third of what was there before.

    Equation: N / N0 = exp(-Q f t / V).

    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f.
    time: Hours in which the lamp runs.
    Source: the balance of a well-mixed tank, without anything new.
    Validity: what neither grows nor comes in anew; for that see `steady_count`.

    >>> round(survivors(Q(200, "L"), Q(600, "L/h"), 0.9, Q(1, "h")), 4)
    0.0672
    """
    return np.exp(-kill_rate.bare(flow, inactivated, volume) * time)


@public(returns="h", sources=())
def time_to_clear(
    volume: Annotated[Amount, LAMP_VOLUMES],
    flow: Annotated[Amount, LEAST_FLOW],
    inactivated: Annotated[Number, SOME_PER_PASS],
    share: Annotated[Number, Range(0, 0.999999)],
) -> Number:
    """Return how long the lamp takes to clear a share of what swims in the tank, in h.

    Ninety-nine in a hundred take twice as long as nine in ten, and need at least 4.6 turnovers.

    Equation: t = -ln(1 - s) V / (Q f), with s the share that is cleared.

    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f.
    share: The share to be cleared, s; 0.5 gives the half-life.
    Source: the balance of a well-mixed tank, without anything new.
    Validity: as `survivors`.

    >>> time_to_clear(Q(200, "L"), Q(600, "L/h"), 0.9, 0.99).round(2)
    <Quantity(1.71, 'hour')>
    """
    return -np.log1p(-share) * volume / (flow * inactivated) + 0.0


@public(returns="", sources=())
def share_passed(turnovers: Annotated[Number, Range(0, 1000)]) -> Number:
    """Return the share of a mixed tank's water that has passed the lamp at least once.

    One turnover is not the whole tank: the same water comes round again before other water has
    come once.

    Equation: s = 1 - exp(-n), with n = Q t / V turnovers.

    turnovers: Tank volumes that have passed, n.
    Returns: 0 to 1.
    Source: the balance of a well-mixed tank.
    Validity: water that mixes fast against its turnover.

    >>> [round(share_passed(n), 3) for n in (1, 2, 3)]
    [0.632, 0.865, 0.95]
    """
    return -np.expm1(-turnovers)


@public(returns="", sources=("AdamsSpotte1981",))
def steady_count(
    source: Annotated[Amount, Range(0, 1e15, "1/h")],
    flow: Annotated[Amount, LEAST_FLOW],
    inactivated: Annotated[Number, SOME_PER_PASS],
    volume: Annotated[Amount, LAMP_VOLUMES],
) -> Number:
    """Return how many swim in the tank in the end when new ones keep coming, as a plain number.

    A lamp thins out what a sick fish sheds; it does not stop it, and the next fish may be nearer
    than the lamp.

    Equation: N = G V / (Q f), where what comes in equals what is inactivated.

    source: New ones in an hour, from fish, food or growth, G.
    flow: Through the lamp's housing, Q.
    inactivated: Share inactivated in one pass, f.
    Returns: In the whole tank.
    Source: the balance of a well-mixed tank; that a lamp cannot stop a disease in a closed
        system is argued by AdamsSpotte1981 (abstract read).
    Validity: a source that stays the same; no other death, which would lower the count.
    Departures: contested: MizunoEtAl2019 kept young salmon free of two parasites, but with a
        far greater dose (2200 mJ/cm²) than a small lamp gives.

    >>> round(steady_count(Q(1e6, "1/h"), Q(600, "L/h"), 0.9, Q(200, "L")))
    370370
    """
    return source / kill_rate.bare(flow, inactivated, volume)
