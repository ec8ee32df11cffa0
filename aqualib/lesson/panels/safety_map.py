"""The second panel of lesson 02: where one reading of ammonia is safe, and where it is not."""

from __future__ import annotations

from aqualib.lesson.charts.safety_map import Place, SafetyMap
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.units import from_si, number
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen


def compute(total_ammonia: float, ph: float, temperature: float, salinity: float) -> Place:
    """Set one reading against the limits; SI numbers in."""
    limits = total_ammonia_limits.bare(ph, temperature, salinity)
    unionised = unionised_ammonia_nitrogen.bare(total_ammonia, ph, temperature, salinity)
    return Place(
        total_ammonia=from_si(total_ammonia, "mg/L"),
        ph=ph,
        celsius=from_si(temperature, "degC"),
        salinity=salinity,
        unionised=from_si(float(unionised), "mg/L"),
        acute=from_si(float(limits.acute), "mg/L"),
        chronic=from_si(float(limits.chronic), "mg/L"),
    )


def verdict(total: float, chronic: float, acute: float) -> str:
    """Say in words where a total-ammonia reading stands between the two limits."""
    if total <= chronic:
        return "below the long-term limit"
    return "above the long-term limit" if total <= acute else "above the short-term limit: act now"


def describe(place: Place) -> str:
    """Say what the map shows."""
    share = 100.0 * place.unionised / place.total_ammonia
    return (
        f"A test that reads {number(place.total_ammonia)} mg N/L at pH {number(place.ph, 2)} means "
        f"{number(place.unionised, 2)} mg N/L un-ionised ({number(share, 2)} %). It is "
        f"{verdict(place.total_ammonia, place.chronic, place.acute)}. The limits here are "
        f"{number(place.chronic)} mg N/L for weeks and {number(place.acute)} mg N/L for an hour."
    )


def answer(place: Place) -> tuple[str, str]:
    """Give the highlighted number: the reading that may stand for long here."""
    return "Highest total ammonia for the long term here", f"{number(place.chronic)} mg N/L"


def safety_map_panel() -> Panel:
    """Return the second panel: safe and unsafe over pH and temperature."""
    controls = {
        "total_ammonia": Slider("Total ammonia, as N", "total_ammonia_reading", 0.05),
        "ph": Slider("pH", "tank_ph", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
    }
    return Panel("Safe or not?", controls, compute, SafetyMap(), describe, answer)
