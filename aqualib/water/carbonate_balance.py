"""Carbonic acid in water: the constants, from PyCO2SYS, and the balance they enter.

The state of the water is two numbers, alkalinity and dissolved carbon dioxide, both in moles per
kilogram; pH here is on the total scale.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.units import ZERO_CELSIUS
from aqualib.validity import ValidityError
from aqualib.water.alkalinity import MOLES_PER_KILOGRAM
from aqualib.water.ph_scales import FRESH_BELOW, convert, refuse_weak_nbs
from aqualib.water.properties import density

# How PyCO2SYS numbers the sets of constants that we use.
MILLERO_1979, LUEKER_2000, WATERS_2014 = 8, 10, 15
SEA_FROM = 19.0
SEA_WARMTH = (2.0, 35.0)
# Every water that passes the checks lies well inside; 45 halvings leave 3e-13 of a pH unit.
PH_BRACKET = (2.0, 13.0)
HALVINGS = 45


class CarbonateConstants(NamedTuple):
    """What carbonic acid and its companions do in water of one temperature and salinity."""

    first: Any
    second: Any
    water: Any
    borate: Any
    bisulphate: Any
    fluoride: Any
    total_borate: Any
    total_sulphate: Any
    total_fluoride: Any
    dissolved_per_air: Any
    """Dissolved carbon dioxide (mol/kg) over its share in dry air, at 1 atm."""
    density: Any


def water_at(temperature: Any, salinity: Any) -> CarbonateConstants:
    """Return the constants at a temperature (kelvin) and practical salinity."""
    if np.ndim(temperature) == 0 and np.ndim(salinity) == 0:
        return _remembered(float(temperature), float(salinity))
    return _constants(temperature, salinity)


@lru_cache(maxsize=256)
def _remembered(temperature: float, salinity: float) -> CarbonateConstants:
    return _constants(temperature, salinity)


def _chosen_set(celsius: Any, salinity: Any) -> Any:
    """Return the number of the set of constants that is valid here."""
    low, high = SEA_WARMTH
    sea = (salinity >= SEA_FROM) & (celsius >= low) & (celsius <= high)
    chosen = np.where(sea, LUEKER_2000, WATERS_2014)
    chosen = np.where(np.asarray(salinity) <= FRESH_BELOW, MILLERO_1979, chosen)
    return int(chosen) if chosen.ndim == 0 else chosen


def _constants(temperature: Any, salinity: Any) -> CarbonateConstants:
    # Loaded here: it takes 0.15 s, and most of the package does without.
    import PyCO2SYS

    celsius = temperature - ZERO_CELSIUS
    found = PyCO2SYS.sys(
        temperature=celsius,
        salinity=salinity,
        opt_k_carbonic=_chosen_set(celsius, salinity),
        opt_pH_scale=1,
    )
    return CarbonateConstants(
        found["k_carbonic_1"],
        found["k_carbonic_2"],
        found["k_water"],
        found["k_borate"],
        found["k_bisulfate"],
        found["k_fluoride"],
        1e-6 * found["total_borate"],
        1e-6 * found["total_sulfate"],
        1e-6 * found["total_fluoride"],
        found["k_CO2"] * found["fugacity_factor"] * found["vp_factor"],
        density.bare(temperature, salinity),
    )


def other_alkalinity(ph: Any, water: CarbonateConstants) -> Any:
    """Return the alkalinity that is not carbonic acid's: borate and hydroxide less acids."""
    hydrogen = 10.0**-ph
    free = hydrogen / (1.0 + water.total_sulphate / water.bisulphate)
    return (
        water.total_borate * water.borate / (water.borate + hydrogen)
        + water.water / hydrogen
        - free
        - water.total_sulphate / (1.0 + water.bisulphate / free)
        - water.total_fluoride / (1.0 + water.fluoride / free)
    )


def per_carbon_dioxide(ph: Any, water: CarbonateConstants) -> tuple[Any, Any]:
    """Return bicarbonate and carbonate per mole of dissolved carbon dioxide."""
    hydrogen = 10.0**-ph
    bicarbonate = water.first / hydrogen
    return bicarbonate, bicarbonate * water.second / hydrogen


def dissolved(ph: Any, alkalinity: Any, water: CarbonateConstants) -> Any:
    """Return dissolved carbon dioxide from pH and alkalinity; not above 0 if they do not fit."""
    bicarbonate, carbonate = per_carbon_dioxide(ph, water)
    return (alkalinity - other_alkalinity(ph, water)) / (bicarbonate + 2.0 * carbonate)


def total_carbon(ph: Any, carbon_dioxide: Any, water: CarbonateConstants) -> Any:
    """Return all dissolved inorganic carbon from pH and dissolved carbon dioxide."""
    return carbon_dioxide * (1.0 + sum(per_carbon_dioxide(ph, water)))


def ph_in_air(alkalinity: Any, carbon_dioxide: Any, water: CarbonateConstants) -> Any:
    """Return the pH of water that the air keeps at this much dissolved carbon dioxide."""

    def alkalinity_at(ph: Any) -> Any:
        bicarbonate, carbonate = per_carbon_dioxide(ph, water)
        return carbon_dioxide * (bicarbonate + 2.0 * carbonate) + other_alkalinity(ph, water)

    return _ph_with(alkalinity, alkalinity_at)


def ph_closed(alkalinity: Any, carbon: Any, water: CarbonateConstants) -> Any:
    """Return the pH of water that keeps this much inorganic carbon."""

    def alkalinity_at(ph: Any) -> Any:
        bicarbonate, carbonate = per_carbon_dioxide(ph, water)
        share = (bicarbonate + 2.0 * carbonate) / (1.0 + bicarbonate + carbonate)
        return carbon * share + other_alkalinity(ph, water)

    return _ph_with(alkalinity, alkalinity_at)


def _ph_with(alkalinity: Any, alkalinity_at: Callable[[Any], Any]) -> Any:
    """Return the pH with this alkalinity, by halving: alkalinity always rises with pH."""
    low: Any
    high: Any
    low, high = PH_BRACKET
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        below = alkalinity_at(middle) < alkalinity
        low = np.where(below, middle, low)
        high = np.where(below, high, middle)
    return 0.5 * (low + high)


def per_kilogram(alkalinity: Any, water: CarbonateConstants) -> Any:
    """Turn alkalinity in kg/m³ as CaCO3 into moles of acid per kg of water."""
    return MOLES_PER_KILOGRAM * alkalinity / water.density


def on_total(ph: Any, temperature: Any, salinity: Any, ph_scale: str) -> Any:
    """Move a pH from the scale named to the total scale."""
    if ph_scale == "total":
        return ph
    return convert.bare(ph, temperature, salinity, ph_scale, "total")


def on_scale(ph: Any, temperature: Any, salinity: Any, ph_scale: str) -> Any:
    """Move a pH from the total scale to the scale named."""
    if ph_scale == "total":
        return ph
    return convert.bare(ph, temperature, salinity, "total", ph_scale)


def check_scale(salinity: Any, ph_scale: str, **_: Any) -> None:
    """Raise if the NBS scale is asked for where it cannot be trusted."""
    refuse_weak_nbs(salinity, (ph_scale,))


def check_state(
    ph: Any, alkalinity: Any, temperature: Any, salinity: Any, ph_scale: str, **_: Any
) -> None:
    """Raise if so high a pH leaves no room for any carbon dioxide."""
    refuse_weak_nbs(salinity, (ph_scale,))
    water = water_at(temperature, salinity)
    total = on_total(ph, temperature, salinity, ph_scale)
    left = np.asarray(dissolved(total, per_kilogram(alkalinity, water), water))
    if np.any(left <= 0.0):
        valid = "a lower pH, or a higher alkalinity"
        why = "cannot be: hydroxide and borate alone would need more than the alkalinity given"
        shown = np.broadcast_to(ph, left.shape)[left <= 0.0].max()
        raise ValidityError("ph", f"{shown:g}", valid, "", why)
