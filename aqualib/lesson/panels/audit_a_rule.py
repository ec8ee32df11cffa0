"""The second panel of lesson 07: what a rule of so many kilograms for 100 litres assumes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from aqualib.draws import HIGH, LOW
from aqualib.lesson.charts.rule_region import COLD, FOOD, WARM, RuleRegion
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.tank.sizing import areal_rate, audit_rule
from aqualib.tank.sizing.uncertainty import SETS, Doubtful, all_sets, best
from aqualib.units import GRAMS_PER_DAY, ZERO_CELSIUS, display_unit, line_to, number, shown

HUNDRED_LITRES = 0.1
"""m³"""
GRID = np.linspace(COLD, WARM, 14)
ENDS = int(LOW * SETS), int(HIGH * SETS)


@dataclass(frozen=True, slots=True)
class RuleMap:
    """A rule on the map; food in g for 100 L a day, rates in g/m² a day, areas in m²."""

    rule: float
    salinity: float
    celsius: float
    protein: float
    ammonia: float
    area: float
    feed_density: float
    celsius_grid: Any
    low: Any
    best: Any
    high: Any
    rates: tuple[float, ...]
    low_here: float
    best_here: float
    high_here: float
    rate_needed: float

    @property
    def verdict(self) -> str:
        """In which of the three regions the tank lies."""
        if self.feed_density <= self.low_here:
            return "holds"
        return "depends" if self.feed_density <= self.high_here else "fails"


def compute_rule(
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
    rates, feeds = (np.sort(many, axis=1)[:, ENDS] * GRAMS_PER_DAY for many in sets[:2])
    carried = likely[1] * GRAMS_PER_DAY
    # The likely value lies inside, however the sets fell.
    low, high = np.minimum(feeds[:, 0], carried), np.maximum(feeds[:, 1], carried)
    return RuleMap(
        rule=rule * HUNDRED_LITRES,
        salinity=salinity,
        celsius=temperature - ZERO_CELSIUS,
        protein=100.0 * protein,
        ammonia=1000.0 * ammonia,
        area=float(likely[2]),
        feed_density=density * GRAMS_PER_DAY,
        celsius_grid=GRID,
        low=low[:-1],
        best=carried[:-1],
        high=high[:-1],
        rates=(float(rates[-1, 0]), float(likely[0][-1] * GRAMS_PER_DAY), float(rates[-1, 1])),
        low_here=float(low[-1]),
        best_here=float(carried[-1]),
        high_here=float(high[-1]),
        rate_needed=float(likely[3] * GRAMS_PER_DAY),
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
        ammonia, kelvin, salinity, None, doubts.first_order, doubts.maximum, doubts.at_sea
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
        doubts.working_share,
        doubts.ammonia_per_protein,
    )
    return audit.areal_rate, audit.feed_carried, audit.area, audit.areal_rate_needed


VERDICTS = {
    "holds": "the rule holds, even at worst",
    "depends": "it depends on your film of bacteria",
    "fails": "the rule fails, even at best",
}


def describe_rule(result: RuleMap) -> str:
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
    scale = line_to(FOOD, display_unit(FOOD))[0]
    low, high = (number(scale * food, 2) for food in (result.low_here, result.high_here))
    return low, high


def answer_rule(result: RuleMap) -> tuple[str, str]:
    """Give the highlighted number: the food up to which the rule holds."""
    low, high = ends_in_words(result)
    return "The rule likely holds up to", f"{shown(result.best_here, FOOD)}; range {low} to {high}"


def audit_panel() -> Panel:
    """Return the panel: a rule of thumb, and where it holds."""
    controls: dict[str, Any] = {
        "rule": Slider("Media for each 100 L", "media_rule", 0.1),
        "salinity": Slider("Salinity", "tank_salinity", 1.0, start=35.0),
        "feed": Slider("Food", "tank_feed", 0.5),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "ammonia": Slider("Ammonia that may remain, as N", "ammonia_allowed", 0.05),
        "area_per_mass": Slider("Outer surface of the media", "media_area_per_mass", 0.01),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
    }
    return Panel(
        "Audit a rule of thumb",
        controls,
        compute_rule,
        RuleRegion(),
        describe_rule,
        answer_rule,
    )
