"""The panels of lesson 02: one day's nitrogen, and the map of safe and unsafe."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from aqualib.lesson.charts.nitrogen_flow import NitrogenFlow
from aqualib.lesson.charts.safety_map import SafetyMap
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.tank.load import NitrogenBudget, ammonia_rise, nitrogen_budget
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS, number
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen
from aqualib.water.nitrogen import alkalinity_demand, oxygen_demand

HOUR = 3600.0
GRAM = 1e-3
MILLIGRAM_PER_LITRE = 1e-3


@dataclass(frozen=True, slots=True)
class Day:
    """What one day's food does: masses in g, concentrations in mg N/L, times in hours."""

    budget: NitrogenBudget
    oxygen_bill: float
    alkalinity_bill: float
    total_ammonia: float
    unionised: float
    acute: float
    chronic: float
    hours: float
    hours_to_chronic: float

    @property
    def budget_total(self) -> float:
        """All the nitrogen in the day's food, in g."""
        return float(sum(self.budget))


def compute_day(
    feed: float,
    protein: float,
    ph: float,
    temperature: float,
    salinity: float,
    volume: float,
    hours: float,
) -> Day:
    """Follow one day's food; SI numbers in."""
    rates = nitrogen_budget.bare(feed, protein)
    budget = NitrogenBudget(*(float(rate * SECONDS_PER_DAY / GRAM) for rate in rates))
    rise = ammonia_rise.bare(rates.total_ammonia, volume)
    limits = total_ammonia_limits.bare(ph, temperature, salinity)
    total = rise * hours
    unionised = unionised_ammonia_nitrogen.bare(total, ph, temperature, salinity)
    return Day(
        budget=budget,
        oxygen_bill=oxygen_demand.bare(budget.total_ammonia),
        alkalinity_bill=alkalinity_demand.bare(budget.total_ammonia),
        total_ammonia=float(total / MILLIGRAM_PER_LITRE),
        unionised=float(unionised / MILLIGRAM_PER_LITRE),
        acute=float(limits.acute / MILLIGRAM_PER_LITRE),
        chronic=float(limits.chronic / MILLIGRAM_PER_LITRE),
        hours=hours / HOUR,
        hours_to_chronic=float(limits.chronic / rise / HOUR),
    )


def verdict(total: float, chronic: float, acute: float) -> str:
    """Say in words where a total-ammonia reading stands between the two limits."""
    if total <= chronic:
        return "below the long-term limit"
    return "above the long-term limit" if total <= acute else "above the short-term limit: act now"


def describe_day(day: Day) -> str:
    """Say what the picture shows."""
    return (
        f"The day's food carries {number(1000 * day.budget_total)} mg of nitrogen; "
        f"{number(1000 * day.budget.total_ammonia)} mg becomes ammonia. Turning that into nitrate "
        f"takes {number(day.oxygen_bill)} g of oxygen and {number(day.alkalinity_bill)} g of "
        f"alkalinity (as CaCO3). After {number(day.hours)} h without a filter the water holds "
        f"{number(day.total_ammonia)} mg N/L of ammonia, of which {number(day.unionised, 2)} "
        f"mg N/L is un-ionised: {verdict(day.total_ammonia, day.chronic, day.acute)} "
        f"({number(day.chronic)} long-term, {number(day.acute)} short-term)."
    )


def answer_day(day: Day) -> tuple[str, str]:
    """Give the highlighted number: how long the tank stays safe without a filter."""
    return "Without a filter the long-term limit is passed after", duration(day.hours_to_chronic)


def duration(hours: float) -> str:
    """Return a time as a keeper says it."""
    if hours < 2.0:
        return f"{number(60 * hours, 2)} minutes"
    return f"{number(hours, 2)} hours" if hours < 72.0 else f"{number(hours / 24, 2)} days"


def nitrogen_flow_panel() -> Panel:
    """Return the first panel: follow the food."""
    controls = {
        "feed": Slider("Food", "tank_feed", 0.5),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "ph": Slider("pH", "tank_ph", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "hours": Slider("Time without a filter", "hours_without_filter", 1.0),
    }
    return Panel("Follow the food", controls, compute_day, NitrogenFlow(), describe_day, answer_day)


@dataclass(frozen=True, slots=True)
class Place:
    """Where one reading lies on the map: temperature in degC, concentrations in mg N/L."""

    total_ammonia: float
    ph: float
    celsius: float
    salinity: float
    unionised: float
    acute: float
    chronic: float


def compute_place(total_ammonia: float, ph: float, temperature: float, salinity: float) -> Place:
    """Set one reading against the limits; SI numbers in."""
    limits = total_ammonia_limits.bare(ph, temperature, salinity)
    unionised = unionised_ammonia_nitrogen.bare(total_ammonia, ph, temperature, salinity)
    return Place(
        total_ammonia=total_ammonia / MILLIGRAM_PER_LITRE,
        ph=ph,
        celsius=temperature - ZERO_CELSIUS,
        salinity=salinity,
        unionised=float(unionised / MILLIGRAM_PER_LITRE),
        acute=float(limits.acute / MILLIGRAM_PER_LITRE),
        chronic=float(limits.chronic / MILLIGRAM_PER_LITRE),
    )


def describe_place(place: Place) -> str:
    """Say what the map shows."""
    share = 100.0 * place.unionised / place.total_ammonia
    return (
        f"A test that reads {number(place.total_ammonia)} mg N/L at pH {number(place.ph, 2)} means "
        f"{number(place.unionised, 2)} mg N/L un-ionised ({number(share, 2)} %). It is "
        f"{verdict(place.total_ammonia, place.chronic, place.acute)}. The limits here are "
        f"{number(place.chronic)} mg N/L for weeks and {number(place.acute)} mg N/L for an hour."
    )


def answer_place(place: Place) -> tuple[str, str]:
    """Give the highlighted number: the reading that may stand for long here."""
    return "Highest total ammonia for the long term here", f"{number(place.chronic)} mg N/L"


def safety_map_panel() -> Panel:
    """Return the second panel: safe and unsafe over pH and temperature."""
    controls: dict[str, Any] = {
        "total_ammonia": Slider("Total ammonia, as N", "total_ammonia_reading", 0.05),
        "ph": Slider("pH", "tank_ph", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
    }
    return Panel("Safe or not?", controls, compute_place, SafetyMap(), describe_place, answer_place)
