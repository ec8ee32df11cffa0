"""Water that runs along the media: the ammonia it loses, what the tank keeps, the area needed."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np
from scipy.special import wrightomega

from aqualib.edge import public
from aqualib.tank.sizing.film import AMMONIA_LEVELS, FIRST_ORDER, MAXIMUM, joined
from aqualib.units import GRAMS_PER_DAY, Amount, Number
from aqualib.validity import Range, ValidityError

DAILY_RATES = Range(0, 1e6, "g/day")
FLOW = Range(0.01, 1e6, "L/h")
AREA = Range(0, 1e6, "m**2")
SOME_AREA = Range(1e-6, 1e6, "m**2")
SMALLEST = np.finfo(float).tiny
"""Stands for a rate of nought."""


def _check_strength(production: Any, area: Any, maximum: Any, **_: Any) -> None:
    """Raise where the film cannot keep up however high the ammonia climbs."""
    if maximum is None:
        return
    most = np.asarray(area * maximum)
    if np.any(np.asarray(production) >= most):
        why = "is more than the film can ever take out, so ammonia rises without end"
        shown = f"{GRAMS_PER_DAY * np.max(production):g} g/day"
        valid = f"less than area x maximum = {GRAMS_PER_DAY * np.min(most):g} g/day"
        raise ValidityError("production", shown, valid, "NijhofBovendeur1990", why)


@public(returns="mg/L", sources=("KinyageEtAl2019",), together=_check_strength)
def steady_ammonia(
    production: Annotated[Amount, DAILY_RATES],
    flow: Annotated[Amount, FLOW],
    area: Annotated[Amount, SOME_AREA],
    first_order: Annotated[Amount, FIRST_ORDER],
    maximum: Annotated[Amount | None, MAXIMUM] = None,
) -> Number:
    """Return the total ammonia at which a tank settles, in mg/L as nitrogen.

    More food, less media or less flow: the tank settles at more ammonia, until the film is at
    its most; then there is no level at which it settles.

    Equation: C = p / (Q (1 - e^(-k A' / Q))), with A' = A - p / P the media left when a part
    of them works at its most.

    production: p, as of `ammonia_production`.
    flow: Q, through the media.
    area: A, the surface that works.
    first_order: k of `film_rates`, in this water.
    maximum: P of `film_rates`; None is without a most.
    Returns: Total ammonia as nitrogen.
    Raises: the film can never keep up.
    Source: KinyageEtAl2019 for the first-order rate; the rest is a mass balance.
    Validity: a well mixed tank, water that passes all the media one after the other, steady
        food; after a meal it is higher.

    >>> steady_ammonia(Q(0.1656, "g/day"), Q(1000, "L/h"), Q(2, "m**2"), Q(0.22, "m/day")).round(3)
    <Quantity(0.38, 'milligram / liter')>
    """
    left = area if maximum is None else area - production / maximum
    return production / (flow * -np.expm1(-first_order * left / flow))


@public(returns="g/day", sources=("KinyageEtAl2019", "NijhofBovendeur1990"))
def ammonia_removed(
    total_ammonia_nitrogen: Annotated[Amount, AMMONIA_LEVELS],
    flow: Annotated[Amount, FLOW],
    area: Annotated[Amount, AREA],
    first_order: Annotated[Amount, FIRST_ORDER],
    maximum: Annotated[Amount, MAXIMUM],
) -> Number:
    """Return the ammonia that a filter takes out of a tank held at this level, in g/day.

    The water is cleaner at the end of the media than at the beginning, so the last ones have
    little to do; and no filter takes out more than the flow brings.

    Equation: x e^x of the water falls by e^(-k A / Q), with x = k C / P; removed = Q (C - C_out).

    total_ammonia_nitrogen: C, in the tank, as nitrogen.
    flow: Q, through the media.
    area: A, the surface that works.
    first_order: k of `film_rates`, in this water.
    maximum: P of `film_rates`.
    Returns: As nitrogen.
    Source: KinyageEtAl2019 and NijhofBovendeur1990 for the rates; the rest is a mass balance of
        `areal_rate` along the media.
    Validity: as `steady_ammonia`.

    >>> water = Q(0.5, "mg/L"), Q(600, "L/h"), Q(1, "m**2")
    >>> ammonia_removed(*water, Q(0.27, "m/day"), Q(0.7, "g/m**2/day")).to("mg/day").round(1)
    <Quantity(112.4, 'milligram / day')>
    """
    slow = np.maximum(first_order, SMALLEST)
    scale = np.maximum(maximum, SMALLEST) / slow
    x = total_ammonia_nitrogen / scale
    with np.errstate(divide="ignore"):
        # omega(z) + ln omega(z) = z is x + ln x, less what the media have done.
        end = wrightomega(np.log(x) + x - slow * area / flow)
    found = flow * np.maximum(total_ammonia_nitrogen - scale * end, 0.0)
    # Rounding must not make it more than all media could do in the tank's own water.
    return np.minimum(found, area * joined(first_order * total_ammonia_nitrogen, maximum))


def _check_flow(production: Any, total_ammonia_nitrogen: Any, flow: Any, **_: Any) -> None:
    """Raise where the flow cannot bring the ammonia to the media."""
    if flow is None:
        return
    brought = np.asarray(flow * total_ammonia_nitrogen)
    if np.any(np.asarray(production) >= brought):
        why = "is more than the flow brings to the media, however many there are"
        shown = f"{GRAMS_PER_DAY * np.max(production):g} g/day"
        valid = f"less than flow x ammonia = {GRAMS_PER_DAY * np.min(brought):g} g/day"
        raise ValidityError("production", shown, valid, "", why)


@public(
    returns="m**2",
    sources=("KinyageEtAl2019", "NijhofBovendeur1990"),
    together=_check_flow,
)
def required_area(
    production: Annotated[Amount, DAILY_RATES],
    total_ammonia_nitrogen: Annotated[Amount, Range(1e-3, 100, "mg/L")],
    first_order: Annotated[Amount, FIRST_ORDER],
    maximum: Annotated[Amount, MAXIMUM],
    flow: Annotated[Amount | None, FLOW] = None,
) -> Number:
    """Return the working surface that keeps a tank at this ammonia, in m².

    Twice the food wants twice the surface; half the ammonia wants nearly twice as well.

    Equation: A = p / P - (Q / k) ln(1 - p / (Q C)); with plenty of flow, A = p / P + p / (k C),
    which is p over `areal_rate`.

    production: p, as of `ammonia_production`.
    total_ammonia_nitrogen: C, what may remain in the tank, as nitrogen.
    first_order: k of `film_rates`, in this water.
    maximum: P of `film_rates`.
    flow: Q, through the media; None is plenty.
    Raises: the flow brings too little.
    Source: KinyageEtAl2019 and NijhofBovendeur1990 for the rates; the rest is a mass balance.
    Validity: as `steady_ammonia`, of which it is the inverse.

    >>> film = Q(0.27, "m/day"), Q(0.7, "g/m**2/day")
    >>> required_area(Q(0.1656, "g/day"), Q(0.5, "mg/L"), *film).round(2)
    <Quantity(1.46, 'meter ** 2')>
    """
    at_most = production / maximum
    if flow is None:
        return at_most + production / (first_order * total_ammonia_nitrogen)
    left = np.maximum(1.0 - production / (flow * total_ammonia_nitrogen), 0.0)
    with np.errstate(divide="ignore"):
        return at_most - flow / first_order * np.log(left)
