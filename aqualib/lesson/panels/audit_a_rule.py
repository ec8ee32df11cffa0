"""The second panel of lesson 07: what a rule of so many kilograms for 100 litres assumes."""

from __future__ import annotations

from typing import Any

import numpy as np

from aqualib.draws import HIGH, LOW
from aqualib.filtration.biofilm import areal_rate
from aqualib.lesson.charts.rule_region import COLD, FOOD, WARM, RuleMap, RuleRegion
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.axes import as_shown
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.sizing import audit_rule
from aqualib.tank.sizing.uncertainty import SETS, Doubtful, all_sets, best
from aqualib.units import ZERO_CELSIUS, from_si, number, shown

HUNDRED_LITRES = 0.1
"""m³"""
SEA = parameter("sea_salinity").value
GRID = np.linspace(COLD, WARM, 14)
ENDS = int(LOW * SETS), int(HIGH * SETS)


def compute(
    rule: float,
    salinity: float,
    feed: float,
    protein: float,
    temperature: float,
    ammonia: float,
    area_per_mass: float,
    volume: float,
) -> RuleMap:
    """Work out where the rule holds; SI numbers in."""
    kelvin = np.append(GRID + ZERO_CELSIUS, temperature)
    density = feed * HUNDRED_LITRES / volume
    tank = rule * HUNDRED_LITRES, HUNDRED_LITRES, protein, salinity, density, ammonia, area_per_mass
    likely = audited(best(), kelvin, *tank)
    sets = audited(all_sets(), kelvin[:, None], *tank)
    slow, fast = from_si(np.sort(sets[0][-1])[[*ENDS]], "g/m**2/day")
    feeds = from_si(np.sort(sets[1], axis=1)[:, ENDS], "g/day")
    carried = from_si(likely[1], "g/day")
    # The likely value lies inside, however the sets fell.
    low, high = np.minimum(feeds[:, 0], carried), np.maximum(feeds[:, 1], carried)
    return RuleMap(
        rule=rule * HUNDRED_LITRES,
        salinity=salinity,
        celsius=from_si(temperature, "degC"),
        protein=from_si(protein, "percent"),
        ammonia=from_si(ammonia, "mg/L"),
        area=float(likely[2]),
        feed_density=from_si(density, "g/day"),
        celsius_grid=GRID,
        low=low[:-1],
        best=carried[:-1],
        high=high[:-1],
        rates=(float(slow), from_si(float(likely[0][-1]), "g/m**2/day"), float(fast)),
        low_here=float(low[-1]),
        best_here=float(carried[-1]),
        high_here=float(high[-1]),
        rate_needed=from_si(float(likely[3]), "g/m**2/day"),
    )


def audited(
    doubts: Doubtful,
    kelvin: Any,
    media: float,
    volume: float,
    protein: float,
    salinity: float,
    feed: float,
    ammonia: float,
    area_per_mass: float,
) -> tuple[Any, Any, Any, Any]:
    """Return areal rate, food carried, area and areal rate needed, in SI, for some sets."""
    rate = areal_rate.bare(
        ammonia,
        kelvin,
        salinity,
        None,
        doubts.nitrifying_share,
        doubts.transfer,
        doubts.capacity,
        doubts.at_sea,
        doubts.half_saturation,
    )
    audit = audit_rule.bare(
        media,
        volume,
        protein,
        kelvin,
        salinity,
        feed,
        ammonia,
        area_per_mass,
        rate,
        ammonia_per_protein=doubts.ammonia_per_protein,
    )
    return audit.areal_rate, audit.feed_carried, audit.area, audit.areal_rate_needed


VERDICTS = {
    "holds": "the rule holds, even at worst",
    "depends": "it depends on your film of bacteria",
    "fails": "the rule fails, even at best",
}


def describe(result: RuleMap) -> str:
    """Say what the map shows."""
    slow, likely, fast = (number(rate, 2) for rate in result.rates)
    least, most = ends_in_words(result)
    return (
        f"A rule of {shown(result.rule, 'kg/hL')} gives {shown(result.area, 'm**2')} of outer "
        f"surface for each {shown(100.0, 'L')}. At {shown(result.celsius, 'degC')}, salinity "
        f"{number(result.salinity)} and {number(result.ammonia)} mg N/L of ammonia left, a square "
        f"metre takes out {likely} g of ammonia a day ({slow} to {fast}). With food of "
        f"{number(result.protein)} % protein that carries {shown(result.best_here, FOOD)}: {least} "
        f"at worst, {most} at best. Your tank gets {shown(result.feed_density, FOOD)}, which takes "
        f"{number(result.rate_needed, 2)} g from each square metre: {VERDICTS[result.verdict]}."
    )


def ends_in_words(result: RuleMap) -> tuple[str, str]:
    """Return the food carried at worst and at best, as numbers in the unit shown."""
    low, high = (number(as_shown(food, FOOD), 2) for food in (result.low_here, result.high_here))
    return low, high


def answer(result: RuleMap) -> tuple[str, str]:
    """Give the highlighted number: the food up to which the rule holds."""
    low, high = ends_in_words(result)
    return "The rule likely holds up to", f"{shown(result.best_here, FOOD)}; range {low} to {high}"


def audit_panel() -> Panel:
    """Return the panel: a rule of thumb, and where it holds."""
    controls: dict[str, Control] = {
        "rule": Slider("Media for each 100 L", "media_rule", 0.1),
        "salinity": Slider("Salinity", "tank_salinity", 1.0, start=SEA),
        "feed": Slider("Food", "tank_feed", 0.5),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "ammonia": Slider("Ammonia that may remain, as N", "ammonia_allowed", 0.05),
        "area_per_mass": Slider("Outer surface of the media", "media_area_per_mass", 0.01),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
    }
    return Panel("Audit a rule of thumb", controls, compute, RuleRegion(), describe, answer)
