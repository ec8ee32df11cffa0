"""Top-up: water that goes into the air leaves its salt behind."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, SALT_PER_SALINITY, TEMPERATURES, density, first_bad

TOPPED_UP_VOLUMES = Range(0.1, 1000000, "L")
WARM = ZERO_CELSIUS + 25.0


@public(returns="L/day", sources=())
def evaporation(
    surface: Annotated[Amount, Range(0, 10000, "m**2")],
    rate: Annotated[Amount | None, Range(0, 30, "mm/day")] = None,
) -> Number:
    """Return the water that an open surface loses to the air, in L/day.

    Measure yours: mark the level, and see how far it is down after a few days. Covers, fans and
    dry rooms change it severalfold.

    Equation: E = rate x surface; a millimetre off a square metre is a litre.

    surface: Water open to the air.
    rate: Fall of the level a day; None takes `surface_evaporation` of data/parameters.csv, a
        guess.
    Source: a volume is an area times a depth.
    Validity: any surface; the rate is assumed unless you measured it.

    >>> evaporation(Q(0.5, "m**2"), Q(4, "mm/day")).round(2)
    <Quantity(2.0, 'liter / day')>
    """
    rate = or_row(rate, "surface_evaporation")
    return rate * surface


def check_evaporated(volume: Any, evaporated: Any, **_: Any) -> None:
    """Raise where more than half of the water is gone."""
    bad = np.asarray(evaporated) > 0.5 * np.asarray(volume) * (1 + 1e-9)
    if np.any(bad):
        (worst,) = first_bad(bad, evaporated)
        why = "is more than half of the volume"
        raise ValidityError("evaporated", f"{1e3 * worst:g} L", "at most half", "", why)


@public(returns="", sources=("MilleroPoisson1981",), together=check_evaporated)
def salinity_after_evaporation(
    salinity: Annotated[Number, SALINITIES],
    volume: Annotated[Amount, TOPPED_UP_VOLUMES],
    evaporated: Annotated[Amount, Range(0, 1000000, "L")],
    temperature: Annotated[Amount, TEMPERATURES] = WARM,
) -> Number:
    """Return the salinity after water evaporated and none was put back, as a plain number.

    Only water goes into the air. A tenth gone from a reef tank lifts 35 to nearly 39.

    Equation: S' = S M / (M - rho_0 E), with M = rho(S) V the mass before.

    salinity: S, practical salinity before.
    volume: V, water before.
    evaporated: E, as fresh water; at most half of V.
    temperature: For the densities.
    Returns: Practical salinity.
    Raises: more than half has evaporated.
    Source: the salt stays, so salinity times mass stays; density from MilleroPoisson1981.
    Validity: no salt lost by spray, creep or skimming.

    >>> round(salinity_after_evaporation(35, Q(100, "L"), Q(10, "L")), 2)
    38.78
    """
    before = density.bare(temperature, salinity) * volume
    return salinity * before / (before - density.bare(temperature, 0.0) * evaporated)


@public(returns="", sources=("MilleroPoisson1981",), together=check_evaporated)
def salinity_topped_up_with(
    salinity: Annotated[Number, SALINITIES],
    volume: Annotated[Amount, TOPPED_UP_VOLUMES],
    evaporated: Annotated[Amount, Range(0, 1000000, "L")],
    top_up_salinity: Annotated[Number, SALINITIES] = 0.0,
    temperature: Annotated[Amount, TEMPERATURES] = WARM,
) -> Number:
    """Return the salinity after the evaporated water was replaced, as a plain number.

    Fresh water brings back what left. Salt water in its place adds salt again and again.

    Equation: S' = (S M + S_t M_t) / (M - rho_0 E + M_t), with M = rho(S) V and M_t = rho(S_t) E.

    salinity: S, practical salinity before.
    volume: V, water before.
    evaporated: E, as fresh water, and as much put back; at most half of V.
    top_up_salinity: S_t, of the water put back; 0 is fresh.
    temperature: For the densities.
    Returns: Practical salinity.
    Raises: more than half has evaporated.
    Source: a balance of salt and of mass; density from MilleroPoisson1981.
    Validity: no salt lost by spray, creep or skimming.

    >>> round(salinity_topped_up_with(35, Q(100, "L"), Q(10, "L"), 35), 1)
    38.4
    """
    before = density.bare(temperature, salinity) * volume
    lost = density.bare(temperature, 0.0) * evaporated
    put_back = density.bare(temperature, top_up_salinity) * evaporated
    salt = salinity * before + top_up_salinity * put_back
    return salt / (before - lost + put_back)


def check_rise(salinity: Any, target: Any, **_: Any) -> None:
    """Raise where the water is saltier than wanted."""
    bad = np.asarray(target) < np.asarray(salinity)
    if np.any(bad):
        wanted, there = first_bad(bad, target, salinity)
        why = "is below the salinity there is; salt cannot lower it"
        raise ValidityError("target", f"{wanted:g}", f"{there:g} or more", "", why)


@public(returns="g", sources=("MilleroPoisson1981", "TEOS10"), together=check_rise)
def salt_to_raise(
    volume: Annotated[Amount, TOPPED_UP_VOLUMES],
    salinity: Annotated[Number, SALINITIES],
    target: Annotated[Number, SALINITIES],
    temperature: Annotated[Amount, TEMPERATURES] = WARM,
) -> Number:
    """Return the dry sea salt that lifts the salinity of water to a target, in grams.

    Dissolve it in a bucket of tank water, and spread it over days: animals need time to follow.

    Equation: m = rho(S) V (s_t - s) / (1 - s_t), with s = 0.001 x 1.004715 S in kg per kg.

    volume: V, the water there is.
    salinity: S, practical salinity there is.
    target: S_t, practical salinity wanted.
    temperature: For the density.
    Returns: Sea salt without water.
    Raises: the target lies below.
    Source: a balance of salt and of mass; density from MilleroPoisson1981, grams per kilogram
        of salinity 35 from TEOS10.
    Validity: salt with the make-up of sea salt; a bagged mix holds some water besides.

    >>> salt_to_raise(Q(100, "L"), 33, 35).round(0)
    <Quantity(213.0, 'gram')>
    """
    there, wanted = (1e-3 * SALT_PER_SALINITY * s for s in (salinity, target))
    return density.bare(temperature, salinity) * volume * (wanted - there) / (1.0 - wanted)
