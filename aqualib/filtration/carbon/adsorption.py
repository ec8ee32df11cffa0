"""Adsorption: how much activated carbon holds of what is dissolved, and what it leaves."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError

DISSOLVED_LEVELS = Range(0, 1e4, "mg/L")
BATCH_VOLUMES = Range(0.001, 1e7, "L")
CARBON_MASSES = Range(0, 1e8, "g")
FREUNDLICH_CAPACITIES = Range(1e-4, 1000)
FREUNDLICH_EXPONENTS = Range(0.05, 2)
ROUNDS = range(8)
"""Newton's steps: seven give all digits."""


def customary(concentration: Any) -> Any:
    """Return a concentration in kg/m³ as mg/L, in which the constant of an isotherm is given."""
    return 1000.0 * concentration


def check_loading(concentration: Any, capacity: Any, exponent: Any, **_: Any) -> None:
    """Raise where the isotherm would put more on the carbon than its own mass."""
    loading = freundlich_loading.bare(concentration, capacity, exponent)
    if np.any(np.asarray(loading) > 1.0):
        why = "gives more than the carbon's own mass: the isotherm does not reach so far"
        raise ValidityError("concentration", "the concentration", "up to 1000 mg/g", "", why)


@public(returns="mg/g", sources=("SeaderProblem",), together=check_loading)
def freundlich_loading(
    concentration: Annotated[Amount, DISSOLVED_LEVELS],
    capacity: Annotated[Number, FREUNDLICH_CAPACITIES],
    exponent: Annotated[Number, FREUNDLICH_EXPONENTS],
) -> Number:
    """Return what carbon holds when it is full for this water, in mg per gram of carbon.

    The cleaner the water, the less the same carbon can hold: in a tank it is far from what a
    test in strong solution promises.

    Equation: q = K C^(1/n), with C in mg/L and q in mg/g (Freundlich).

    concentration: C, in the water around the carbon.
    capacity: K in its customary unit (mg/g)(L/mg)^(1/n): the loading in mg/g at 1 mg/L.
    exponent: 1/n.
    Raises: the loading would be above 1000 mg/g.
    Source: SeaderProblem (its isotherm of 1,2-dichloroethane).
    Validity: one substance, at rest, within the concentrations of which the constants were
        measured; K depends on the carbon and on all else in the water.
    Departures: none. K is a plain number, since its unit changes with the exponent.

    >>> freundlich_loading(Q(4.6, "mg/L"), 8.0, 0.57).round(3)
    <Quantity(19.092, 'milligram / gram')>
    """
    return 0.001 * capacity * customary(concentration) ** exponent


@public(returns="mg/g", sources=("ScientificReports2020",))
def langmuir_loading(
    concentration: Annotated[Amount, DISSOLVED_LEVELS],
    maximum: Annotated[Amount, Range(0.001, 1000, "mg/g")],
    affinity: Annotated[Amount, Range(1e-6, 1e6, "L/mg")],
) -> Number:
    """Return what carbon holds by the isotherm that has an end, in mg per gram of carbon.

    Here the carbon has so many places; in clean water most of them stay empty.

    Equation: q = Q b C / (1 + b C) (Langmuir).

    concentration: C.
    maximum: Q, with every place taken.
    affinity: b, one over the concentration at which half the places are taken.
    Source: ScientificReports2020, table 6 (constants for methylene blue).
    Validity: as `freundlich_loading`.

    >>> langmuir_loading(Q(2, "mg/L"), Q(425, "mg/g"), Q(0.053, "L/mg")).round(2)
    <Quantity(40.73, 'milligram / gram')>
    """
    taken = affinity * concentration
    return maximum * taken / (1.0 + taken)


def log_share_left(strength: Any, exponent: Any, start: Any) -> Any:
    """Return ln x where x + a x^m = 1, by Newton's method from a start at or above it.

    In the logarithm both parts are convex and rising, so the steps come down to the root and
    never pass it.
    """
    logarithm = start
    for _ in ROUNDS:
        free, held = np.exp(logarithm), strength * np.exp(exponent * logarithm)
        logarithm = logarithm - (free + held - 1.0) / (free + exponent * held)
    return logarithm


def _check_batch(volume: Any, mass: Any, initial: Any, capacity: Any, exponent: Any) -> None:
    left = batch_equilibrium.bare(volume, mass, initial, capacity, exponent)
    check_loading(left, capacity, exponent)


@public(returns="mg/L", sources=("SeaderProblem",), together=_check_batch)
def batch_equilibrium(
    volume: Annotated[Amount, BATCH_VOLUMES],
    mass: Annotated[Amount, CARBON_MASSES],
    initial: Annotated[Amount, DISSOLVED_LEVELS],
    capacity: Annotated[Number, FREUNDLICH_CAPACITIES],
    exponent: Annotated[Number, FREUNDLICH_EXPONENTS],
) -> Number:
    """Return the concentration left in still water after carbon has taken its part, in mg/L.

    More carbon never takes all of it; ten times the carbon leaves about a hundredth at 1/n = 0.5.

    Equation: V (C0 - C) = M K C^(1/n), solved for C.

    volume: V, of the water.
    mass: M, of dry carbon.
    initial: C0.
    capacity: K in (mg/g)(L/mg)^(1/n).
    exponent: 1/n.
    Raises: the loading would be above 1000 mg/g.
    Source: SeaderProblem for the isotherm; the rest is a mass balance.
    Validity: as `freundlich_loading`; fresh carbon, nothing made meanwhile, and days to weeks
        of time.
    Departures: none. Found by Newton's method in the logarithm of C, which cannot miss.

    >>> tank = {"volume": Q(200, "L"), "mass": Q(100, "g"), "initial": Q(5, "mg/L")}
    >>> batch_equilibrium(**tank, capacity=21.0, exponent=0.54).round(4)
    <Quantity(0.2318, 'milligram / liter')>
    """
    start = np.where(np.asarray(initial) > 0.0, initial, np.ones_like(initial))
    # a: what the carbon would hold at C0, over what there is.
    strength = mass * freundlich_loading.bare(start, capacity, exponent) / (volume * start)
    with np.errstate(divide="ignore"):
        above = np.minimum(0.0, -np.log(strength) / exponent)
    return (initial * np.exp(log_share_left(strength, exponent, above)))[()]


def _check_dose(initial: Any, final: Any, capacity: Any, exponent: Any, **_: Any) -> None:
    if np.any(np.asarray(final) >= np.asarray(initial)):
        why = "is not below the concentration at the start"
        raise ValidityError("final", "the concentration", "less than initial", "", why)
    check_loading(final, capacity, exponent)


@public(returns="g", sources=("ScientificReports2020",), together=_check_dose)
def carbon_for_dose(
    volume: Annotated[Amount, BATCH_VOLUMES],
    initial: Annotated[Amount, DISSOLVED_LEVELS],
    final: Annotated[Amount, Range(1e-6, 1e4, "mg/L")],
    capacity: Annotated[Number, FREUNDLICH_CAPACITIES],
    exponent: Annotated[Number, FREUNDLICH_EXPONENTS],
) -> Number:
    """Return the carbon that brings still water from one concentration to another, in grams.

    The cleaner the water must end, the less each gram holds: the last traces cost most.

    Equation: M = V (C0 - C) / (K C^(1/n)).

    initial: C0.
    final: C, below C0.
    capacity: K in (mg/g)(L/mg)^(1/n).
    exponent: 1/n.
    Raises: the end is not below the start.
    Source: ScientificReports2020, table 6 (constants for methylene blue).
    Validity: as `batch_equilibrium`; a medicine's own constants are rarely known.

    >>> carbon_for_dose(Q(200, "L"), Q(2, "mg/L"), Q(0.1, "mg/L"), 7.7, 0.2778).round(1)
    <Quantity(93.6, 'gram')>
    """
    return volume * (initial - final) / freundlich_loading.bare(final, capacity, exponent)
