"""Water that runs along the media: the ammonia it loses, what the tank keeps, the area needed."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.biofilm import film_uptake, share_of_most
from aqualib.filtration.biofilm.film_law import LEVELS, MOSTS, SOME, TRANSFERS
from aqualib.parameters import or_row
from aqualib.units import GRAMS_PER_DAY, Amount, Number
from aqualib.validity import Range, ValidityError

DAILY_RATES = Range(0, 1e6, "g/day")
FLOW = Range(0.01, 1e6, "L/h")
AREA = Range(0, 1e6, "m**2")
SOME_AREA = Range(1e-6, 1e6, "m**2")
HALF_ROW = "total_ammonia_half_saturation"
SMALLEST = np.finfo(float).tiny
"""Stands for a rate of nought."""
LEAST, GREATEST = 1e-15, 1e6
"""Between them lies the ammonia at the last bacteria, in kg/m³, whatever the filter."""
ROUNDS = 80
"""Of halving or of Newton; it takes about ten unless food and flow differ by many powers of ten."""


def _at_film(ammonia: Any, transfer: Any, most: Any, half: Any) -> Any:
    """Return the ammonia that reaches the bacteria."""
    share = share_of_most(ammonia, half, most / transfer)
    return half * share / (1.0 - share)


def _in_water(at_film: Any, transfer: Any, most: Any, half: Any) -> Any:
    """Return the ammonia in the water, from that which reaches the bacteria."""
    return at_film + most / transfer * at_film / (half + at_film)


def _passed(at_film: Any, transfer: Any, most: Any, half: Any) -> Any:
    """Return most/flow times the media that lie before this place, less a constant.

    It is the integral of the balance of a slice, flow dC = -r dA, with C and r as functions of
    the ammonia that reaches the bacteria.
    """
    behind = most / transfer
    return (half + behind) * np.log(at_film) + at_film - behind * np.log(half + at_film)


def _check_strength(production: Any, area: Any, most: Any, **_: Any) -> None:
    """Raise where the film cannot keep up however high the ammonia climbs."""
    able = np.asarray(area * most)
    if np.any(np.asarray(production) >= able):
        why = "is more than the film can ever take out, so ammonia rises without end"
        shown = f"{GRAMS_PER_DAY * np.max(production):g} g/day"
        valid = f"less than area x most = {GRAMS_PER_DAY * np.min(able):g} g/day"
        raise ValidityError("production", shown, valid, "NijhofBovendeur1990", why)


@public(returns="mg/L", sources=(), together=_check_strength)
def steady_ammonia(
    production: Annotated[Amount, DAILY_RATES],
    flow: Annotated[Amount, FLOW],
    area: Annotated[Amount, SOME_AREA],
    transfer: Annotated[Amount, TRANSFERS],
    most: Annotated[Amount, MOSTS],
    half_saturation: Annotated[Amount | None, SOME] = None,
) -> Number:
    """Return the total ammonia at which a tank settles, in mg/L as nitrogen.

    More food, less media or less flow: the tank settles at more ammonia, until the film is at
    its most; then there is no level at which it settles.

    Equation: that C for which `required_area` is the area there is.

    production: p, as of `ammonia_production`.
    flow: Q, through the media.
    area: A, of film.
    transfer: k_L of `film_limits`, in this water.
    most: P of `film_limits`.
    half_saturation: K; None takes `total_ammonia_half_saturation`.
    Returns: Total ammonia as nitrogen.
    Raises: the film can never keep up.
    Source: a mass balance of `areal_rate` along the media.
    Validity: a well mixed tank, water that passes all the media one after the other, steady
        food; after a meal it is higher.

    >>> film = Q(0.92, "m/day"), Q(0.28, "g/m**2/day")
    >>> steady_ammonia(Q(0.1656, "g/day"), Q(1000, "L/h"), Q(2, "m**2"), *film).round(3)
    <Quantity(0.303, 'milligram / liter')>
    """
    half = or_row(half_saturation, HALF_ROW)
    film = transfer, most, half
    brought = production / flow
    shape = np.broadcast_shapes(*map(np.shape, (production, flow, area, *film)))
    low, high = np.full(shape, np.log(LEAST)), np.full(shape, np.log(GREATEST))
    for _ in range(ROUNDS):
        last = np.exp(0.5 * (low + high))
        first = _at_film(brought + _in_water(last, *film), *film)
        needed = flow / most * (_passed(first, *film) - _passed(last, *film))
        too_clean = needed > area
        low = np.where(too_clean, 0.5 * (low + high), low)
        high = np.where(too_clean, high, 0.5 * (low + high))
    return np.where(np.asarray(production) > 0.0, brought + _in_water(np.exp(low), *film), 0.0)[()]


@public(returns="g/day", sources=())
def ammonia_removed(
    total_ammonia_nitrogen: Annotated[Amount, LEVELS],
    flow: Annotated[Amount, FLOW],
    area: Annotated[Amount, AREA],
    transfer: Annotated[Amount, TRANSFERS],
    most: Annotated[Amount, MOSTS],
    half_saturation: Annotated[Amount | None, SOME] = None,
) -> Number:
    """Return the ammonia that a filter takes out of a tank held at this level, in g/day.

    The water is cleaner at the end of the media than at the beginning, so the last ones have
    little to do; and no filter takes out more than the flow brings.

    Equation: removed = Q (C - C_out), with C_out where the media end; see `required_area`.

    total_ammonia_nitrogen: C, in the tank, as nitrogen.
    flow: Q, through the media.
    area: A, of film.
    transfer: k_L of `film_limits`, in this water.
    most: P of `film_limits`.
    half_saturation: K; None takes `total_ammonia_half_saturation`.
    Returns: As nitrogen.
    Source: a mass balance of `areal_rate` along the media.
    Validity: as `steady_ammonia`.

    >>> water = Q(0.5, "mg/L"), Q(600, "L/h"), Q(1, "m**2")
    >>> ammonia_removed(*water, Q(0.92, "m/day"), Q(0.28, "g/m**2/day")).to("mg/day").round(1)
    <Quantity(118.5, 'milligram / day')>
    """
    half = or_row(half_saturation, HALF_ROW)
    ammonia, able = np.maximum(total_ammonia_nitrogen, SMALLEST), np.maximum(most, SMALLEST)
    film = transfer, able, half
    first = _at_film(ammonia, *film)
    fallen = _fallen(np.log(first), able * area / flow, film)
    lost = first * -np.expm1(-fallen)
    last = first - lost
    behind = able / transfer * half / ((half + first) * (half + last))
    found = flow * lost * (1.0 + behind)
    # Rounding must not make it more than all media could do in the tank's own water.
    return np.minimum(found, area * film_uptake.bare(total_ammonia_nitrogen, transfer, most, half))


def _fallen(start: Any, media: Any, film: tuple[Any, Any, Any]) -> Any:
    """Return by how much the logarithm of the ammonia at the bacteria falls along the media."""
    transfer, most, half = film
    behind = most / transfer

    def slope(log: Any) -> Any:
        here = np.exp(log)
        return half + here + behind * half / (half + here)

    flattest = np.where(behind > half, 2.0 * np.sqrt(behind * half), half + behind)
    low, high = start - media / flattest, start + 0.0 * media
    goal = _passed(np.exp(start), *film) - media
    log = np.clip(start - media / slope(start), low, high)
    for _ in range(ROUNDS):
        off = (half + behind) * log + np.exp(log) - behind * np.log(half + np.exp(log)) - goal
        low, high = np.where(off < 0.0, log, low), np.where(off < 0.0, high, log)
        step = log - off / slope(log)
        step = np.where((step < low) | (step > high), 0.5 * (low + high), step)
        if np.all(np.abs(step - log) <= 1e-14 * (1.0 + np.abs(log))):
            break
        log = step
    return start - step


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


@public(returns="m**2", sources=(), together=_check_flow)
def required_area(
    production: Annotated[Amount, DAILY_RATES],
    total_ammonia_nitrogen: Annotated[Amount, Range(1e-3, 100, "mg/L")],
    transfer: Annotated[Amount, TRANSFERS],
    most: Annotated[Amount, Range(1e-4, 100, "g/m**2/day")],
    half_saturation: Annotated[Amount | None, SOME] = None,
    flow: Annotated[Amount | None, FLOW] = None,
) -> Number:
    """Return the film that keeps a tank at this ammonia, in m².

    Twice the food wants twice the surface; half the ammonia wants nearly twice as well.

    Equation: A = (Q/P) [ K ln(a/b) + a - b + (P/k_L) ln(a (K+b) / (b (K+a))) ], with a and b what
    reaches the bacteria where the water enters and leaves; with plenty of flow, A = p over
    `areal_rate`.

    production: p, as of `ammonia_production`.
    total_ammonia_nitrogen: C, what may remain in the tank, as nitrogen.
    transfer: k_L of `film_limits`, in this water.
    most: P of `film_limits`.
    half_saturation: K; None takes `total_ammonia_half_saturation`.
    flow: Q, through the media; None is plenty.
    Raises: the flow brings too little.
    Source: a mass balance of `areal_rate` along the media.
    Validity: as `steady_ammonia`, of which it is the inverse.

    >>> film = Q(0.92, "m/day"), Q(0.28, "g/m**2/day")
    >>> required_area(Q(0.1656, "g/day"), Q(0.5, "mg/L"), *film).round(2)
    <Quantity(1.39, 'meter ** 2')>
    """
    half = or_row(half_saturation, HALF_ROW)
    film = transfer, most, half
    if flow is None:
        return production / film_uptake.bare(total_ammonia_nitrogen, *film)
    leaving = np.maximum(total_ammonia_nitrogen - production / flow, 0.0)
    first, last = _at_film(total_ammonia_nitrogen, *film), _at_film(leaving, *film)
    with np.errstate(divide="ignore"):
        return flow / most * (_passed(first, *film) - _passed(last, *film))
