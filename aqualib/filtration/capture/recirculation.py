"""A tank and its filter in a loop: dirt made all day, and the water's share of it."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.hydraulics.hose import LOOP_FLOWS
from aqualib.units import Amount, Number
from aqualib.validity import Range

SOLIDS_PRODUCTIONS = Range(0, 1e6, "g/day")
SOLIDS_LEVELS = Range(0, 1e5, "mg/L")


@public(returns="mg/L", sources=())
def steady_concentration(
    production: Annotated[Amount, SOLIDS_PRODUCTIONS],
    flow: Annotated[Amount, Range(0.001, 1e6, "L/h")],
    efficiency: Annotated[Number, Range(1e-9, 1)],
) -> Number:
    """Return the solids left in the water of a tank in the long run, in mg/L.

    Water is as clear as flow times catch allows; a leaky filter with ten times the flow does as
    well as a perfect one.

    Equation: C = G / (Q E).

    production: G, solids made a day.
    efficiency: E, the share caught in one pass.
    Source: the mass balance of a mixed tank at rest.
    Validity: one size class; solids that neither dissolve nor settle in the tank.

    >>> steady_concentration(Q(2, "g/day"), Q(1000, "L/h"), 0.5).round(3)
    <Quantity(0.167, 'milligram / liter')>
    """
    return production / (flow * efficiency)


@public(returns="mg/L", sources=())
def concentration_after(
    initial: Annotated[Amount, SOLIDS_LEVELS],
    production: Annotated[Amount, SOLIDS_PRODUCTIONS],
    flow: Annotated[Amount, LOOP_FLOWS],
    efficiency: Annotated[Number, Range(0, 1)],
    volume: Annotated[Amount, Range(0.1, 1e7, "L")],
    time: Annotated[Amount, Range(0, 10000, "day")],
) -> Number:
    """Return the solids in the water of a tank after some time, in mg/L.

    After one turnover by a perfect filter more than a third of the old dirt is still there.

    Equation: C = C0 e^-x + (G t / V) (1 - e^-x) / x, with x = Q E t / V.

    initial: C0.
    production: G, solids made a day.
    Source: the mass balance of a mixed tank, solved exactly.
    Validity: as `steady_concentration`, with flow and efficiency that stay.

    >>> still = {"production": Q(0, "g/day"), "efficiency": 1.0, "volume": Q(200, "L")}
    >>> turnover = {"flow": Q(1000, "L/h"), "time": Q(0.2, "hour")}
    >>> concentration_after(Q(10, "mg/L"), **still, **turnover).round(3)
    <Quantity(3.679, 'milligram / liter')>
    """
    turnovers = np.asarray(flow * efficiency * time / volume)
    kept = np.exp(-turnovers)
    # (1 - e^-x) / x, which is 1 for a filter that catches nothing.
    some = turnovers > 0.0
    mean = np.where(some, -np.expm1(-turnovers) / np.where(some, turnovers, np.inf), 1.0)
    return (initial * kept + production * time / volume * mean)[()]


def first_crossing(time: Any, rising: Any) -> float:
    """Return the time at which a series first reaches one, on straight lines; else infinity."""
    reached = np.flatnonzero(rising >= 1)
    if not reached.size:
        return float("inf")
    at = reached[0]
    if not at:
        return float(time[0])
    return float(np.interp(1, rising[at - 1 : at + 1], time[at - 1 : at + 1]))
