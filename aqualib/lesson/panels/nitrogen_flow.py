"""The first panel of lesson 02: where one day's nitrogen goes."""

from __future__ import annotations

from aqualib.lesson.charts.nitrogen_flow import Day, NitrogenFlow, duration
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.tank.load import NitrogenBudget, ammonia_rise, nitrogen_budget
from aqualib.units import from_si, number
from aqualib.water.ammonia import total_ammonia_limits, unionised_ammonia_nitrogen
from aqualib.water.nitrogen import alkalinity_demand, oxygen_demand


def compute(
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
    budget = NitrogenBudget(*(from_si(float(rate), "mg/day") for rate in rates))
    nitrified = from_si(float(rates.total_ammonia), "g/day")
    rise = ammonia_rise.bare(rates.total_ammonia, volume)
    limits = total_ammonia_limits.bare(ph, temperature, salinity)
    total = rise * hours
    unionised = unionised_ammonia_nitrogen.bare(total, ph, temperature, salinity)
    return Day(
        budget=budget,
        oxygen_bill=float(oxygen_demand.bare(nitrified)),
        alkalinity_bill=float(alkalinity_demand.bare(nitrified)),
        total_ammonia=from_si(float(total), "mg/L"),
        unionised=from_si(float(unionised), "mg/L"),
        acute=from_si(float(limits.acute), "mg/L"),
        chronic=from_si(float(limits.chronic), "mg/L"),
        hours=from_si(hours, "h"),
        hours_to_chronic=from_si(float(limits.chronic / rise), "h"),
    )


def describe(day: Day) -> str:
    """Say what the picture shows."""
    return (
        f"The day's food carries {number(day.budget_total)} mg of nitrogen; "
        f"{number(day.budget.total_ammonia)} mg becomes ammonia. Turning that into nitrate "
        f"takes {number(day.oxygen_bill)} g of oxygen and {number(day.alkalinity_bill)} g of "
        f"alkalinity (as CaCO3). After {number(day.hours)} h without a filter the water holds "
        f"{number(day.total_ammonia)} mg N/L of ammonia ({number(day.unionised, 2)} un-ionised), "
        f"{verdict(day)} ({number(day.chronic)} long-term, {number(day.acute)} short-term)."
    )


def verdict(day: Day) -> str:
    """Say in words where the ammonia stands between the two limits."""
    if day.total_ammonia <= day.chronic:
        return "below the long-term limit"
    if day.total_ammonia <= day.acute:
        return "above the long-term limit"
    return "above the short-term limit: act now"


def answer(day: Day) -> tuple[str, str]:
    """Give the highlighted number: how long the tank stays safe without a filter."""
    return "Without a filter the long-term limit is passed after", duration(day.hours_to_chronic)


def nitrogen_flow_panel() -> Panel:
    """Return the first panel: follow the food."""
    controls = {
        "feed": Slider("Food", "tank_feed", 0.1),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "ph": Slider("pH", "tank_ph", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "hours": Slider("Time without a filter", "hours_without_filter", 1.0),
    }
    return Panel("Follow the food", controls, compute, NitrogenFlow(), describe, answer)
