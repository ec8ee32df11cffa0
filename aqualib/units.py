"""The one unit registry, the unit set in force, and how amounts are shown."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any, TypeAlias, TypeVar

import numpy as np
import pint
from numpy.typing import NDArray

from aqualib.setting import Setting
from aqualib.validity import ValidityError, quoted

registry: pint.UnitRegistry[Any] = pint.UnitRegistry(cache_folder=None)
# One German degree of carbonate hardness is 10 mg CaO per litre, here as CaCO3
# (molar masses 56.077 and 100.086 g/mol).
registry.define("dKH = 17.848 mg/L")
pint.set_application_registry(registry)

Quantity: TypeAlias = pint.Quantity[Any]
Number: TypeAlias = float | NDArray[np.float64]
"""A plain number or an array of numbers."""
Amount: TypeAlias = Quantity | Number
"""An argument that carries a unit: a quantity to those who call, its plain SI number inside."""
Plain = TypeVar("Plain", float, NDArray[np.float64])

UNIT_SETS = ("metric", "us", "imperial")

ZERO_CELSIUS = 273.15
"""kelvin"""
SECONDS_PER_DAY = 86400.0
LITRES_PER_HOUR = 3.6e6
"""in one m³/s"""
GRAMS_PER_DAY = 1000.0 * SECONDS_PER_DAY
"""in one kg/s"""

# metric unit -> the unit a US and an imperial reader uses for the same thing
DISPLAY: dict[str, tuple[str, str]] = {
    "L": ("gal", "imperial_gallon"),
    "mL": ("fluid_ounce", "imperial_fluid_ounce"),
    "L/h": ("gal/h", "imperial_gallon/h"),
    "mm": ("inch", "inch"),
    "cm": ("inch", "inch"),
    "m": ("ft", "ft"),
    "m**2": ("ft**2", "ft**2"),
    "g": ("oz", "oz"),
    "kg": ("lb", "lb"),
    "kg/m**3": ("lb/ft**3", "lb/ft**3"),
    "kg/m**2": ("lb/ft**2", "lb/ft**2"),
    "kPa": ("psi", "psi"),
    "mm/s": ("inch/s", "inch/s"),
    "degC": ("degF", "degF"),
    "kg/hL": ("lb/hectogallon", "lb/hectoimperial_gallon"),
    "g/hL/day": ("oz/hectogallon/day", "oz/hectoimperial_gallon/day"),
    "m**2/kg": ("ft**2/lb", "ft**2/lb"),
    "m**2/L": ("ft**2/gal", "ft**2/imperial_gallon"),
    "delta_degC/day": ("delta_degF/day", "delta_degF/day"),
}

LABELS: dict[str, str] = {
    "L": "L",
    "gal": "US gal",
    "imperial_gallon": "imp gal",
    "mL": "mL",
    "fluid_ounce": "US fl oz",
    "imperial_fluid_ounce": "imp fl oz",
    "L/h": "L/h",
    # A day's food is weighed in grams everywhere: 0.1 oz says nothing.
    "g/day": "g/day",
    "mg/day": "mg/day",
    "gal/h": "US gal/h",
    "imperial_gallon/h": "imp gal/h",
    "inch": "in",
    "m**2": "m²",
    "ft**2": "ft²",
    "kg/m**3": "kg/m³",
    "lb/ft**3": "lb/ft³",
    "g/m**3/day": "g/m³ a day",
    "kg/m**2": "kg/m²",
    "lb/ft**2": "lb/ft²",
    "degC": "°C",
    "degF": "°F",
    "m**2/s": "m²/s",
    "m**2/day": "m² a day",
    "1/m": "1/m",
    "mg/g": "mg/g",
    "um": "µm",
    "mm/s": "mm/s",
    "inch/s": "in/s",
    "day": "days",
    "percent": "%",
    "kg/hL": "kg per 100 L",
    "lb/hectogallon": "lb per 100 US gal",
    "lb/hectoimperial_gallon": "lb per 100 imp gal",
    "g/hL/day": "g per 100 L a day",
    "oz/hectogallon/day": "oz per 100 US gal a day",
    "oz/hectoimperial_gallon/day": "oz per 100 imp gal a day",
    "m**2/kg": "m²/kg",
    "m**2/L": "m²/L",
    "ft**2/gal": "ft² per US gal",
    "ft**2/imperial_gallon": "ft² per imp gal",
    "1/hour": "1/h",
    "ft**2/lb": "ft²/lb",
    "g/m**2/day": "g/m² a day",
    "mg/m**2/day": "mg/m² a day",
    "mg/L/day": "mg/L a day",
    "mg/kg/day": "mg/kg a day",
    "mJ/cm**2": "mJ/cm²",
    "uW/cm**2": "µW/cm²",
    "W/m**2": "W/m²",
    "delta_degC/day": "°C a day",
    "delta_degF/day": "°F a day",
}

unit_set = Setting("system", UNIT_SETS)
"""The unit set in force; `set_units` changes it."""


def Q(value: Any, unit: str) -> Quantity:  # noqa: N802 - the short name every lesson uses
    """Return `value` with `unit`: `Q(25, "degC")`, `Q([1, 2], "mg/L")`."""
    return registry.Quantity(value, unit)


def get_units() -> str:
    """Return the unit set in force: "metric", "us" or "imperial"."""
    return unit_set.value


@contextmanager
def metric_words() -> Iterator[None]:
    """Write amounts in metric units for a while, for a file that is the same in all unit sets.

    Nobody who follows the setting is told: what is shown meanwhile is none of theirs.
    """
    kept, unit_set.value = unit_set.value, "metric"
    try:
        yield
    finally:
        unit_set.value = kept


def set_units(system: str) -> None:
    """Show amounts in "metric", "us" or "imperial" units from now on (metric stays alongside)."""
    unit_set.set(system)


class NotLinearError(ValueError):
    """Two units are not in proportion, such as decibels and watts."""


@lru_cache(maxsize=512)
def line_to(source: str, target: str) -> tuple[float, float]:
    """Return (factor, offset) such that target = factor * source + offset."""
    zero, fifty, hundred = (float(Q(x, source).m_as(target)) for x in (0.0, 50.0, 100.0))
    if not math.isclose(fifty - zero, hundred - fifty, rel_tol=1e-9):
        message = f"{source} and {target} are not in proportion"
        raise NotLinearError(message)
    return (hundred - zero) / 100.0, zero


@lru_cache(maxsize=512)
def base_unit(unit: str) -> str:
    """Return the SI base unit of `unit` as text."""
    return str(registry.get_base_units(unit)[1])


def from_si(value: Plain, unit: str) -> Plain:
    """Return a number in SI base units as a number in `unit`: `from_si(0.5, "g")` is 500."""
    # A slider's way into base units, taken back, so that a round number comes out round.
    factor, offset = line_to(unit, base_unit(unit))
    return (value - offset) / factor


def display_unit(metric_unit: str, system: str | None = None) -> str:
    """Return the unit in which the unit set shows an amount that is metrically in `metric_unit`."""
    if not isinstance(metric_unit, str):
        raise ValidityError("metric_unit", quoted(metric_unit), 'such as "L"', "", "is no unit")
    chosen = unit_set.value if system is None else unit_set.known(system)
    if chosen == "metric" or metric_unit not in DISPLAY:
        return metric_unit
    return DISPLAY[metric_unit][UNIT_SETS.index(chosen) - 1]


def label(unit: str) -> str:
    """Return how a reader sees `unit`, such as '°C' or 'US gal'."""
    return LABELS.get(unit, unit)


def number(value: float, digits: int = 3) -> str:
    """Return `value` as plain text with about `digits` significant digits."""
    if not math.isfinite(value):
        return str(value)
    # A hair beside a whole number is a rounding error; beside zero it may be a true small number.
    hair = 1e-9 if round(value) else 1e-15
    if abs(value) < 1e6 and abs(value - round(value)) < hair:
        return str(round(value))
    magnitude = math.floor(math.log10(abs(value)))
    if magnitude < -4:
        return f"{value:.{digits - 1}e}"
    # Rounding can carry 99.96 up to 100, so ask again after rounding.
    rounded = round(value, max(0, digits - 1 - magnitude))
    magnitude = math.floor(math.log10(abs(rounded))) if rounded else 0
    return f"{rounded:.{max(0, digits - 1 - magnitude)}f}"


def shown(value: float, metric_unit: str, digits: int = 3) -> str:
    """Return a plain number in `metric_unit` as text in the unit set, metric alongside."""
    metric = f"{number(value, digits)} {label(metric_unit)}".strip()
    unit = display_unit(metric_unit)
    if unit == metric_unit:
        return metric
    factor, offset = line_to(metric_unit, unit)
    return f"{number(factor * value + offset, digits)} {label(unit)} ({metric})"


def show(quantity: Quantity, digits: int = 3) -> str:
    """Return a scalar quantity as text in the unit set, with the metric value beside it.

    `show(Q(100, "L"))` gives "100 L", or "26.4 US gal (100 L)" after `set_units("us")`.
    """
    valid = 'one amount with a unit, such as Q(100, "L")'
    if not isinstance(quantity, registry.Quantity):
        raise ValidityError("quantity", quoted(quantity), valid, "", "has no unit")
    if getattr(quantity.magnitude, "ndim", 0):
        raise ValidityError("quantity", "an array", valid, "", "is more than one number")
    unit = metric_unit_of(quantity)
    return shown(float(quantity.m_as(unit)), unit, digits)


def metric_unit_of(quantity: Quantity) -> str:
    """Return the metric unit in which to show `quantity`: its own or its metric twin."""
    own = f"{quantity.units:~}"
    for metric, others in DISPLAY.items():
        if registry.Unit(metric) == quantity.units:
            return metric
        if any(registry.Unit(other) == quantity.units for other in others):
            return metric
    for text in ("mg/L", *LABELS):
        if registry.Unit(text) == quantity.units:
            return text
    return own
