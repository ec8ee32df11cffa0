"""The second panel of lesson 08: what a rule of so many kilograms for 100 litres assumes."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.draws import HIGH, LOW
from aqualib.filtration.biofilm import areal_rate
from aqualib.filtration.porous_piece import measured_denitrification
from aqualib.lesson.charts.rule_region import COLD, FOOD, WARM, RuleMap, RuleRegion
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.axes import as_shown
from aqualib.lesson.long_term_limit import warning
from aqualib.lesson.panel import Panel
from aqualib.running_tank import running_tank
from aqualib.tank.load import daily_feed, stocking
from aqualib.tank.sizing import audit_rule, nitrate_audit
from aqualib.tank.sizing.uncertainty import SETS, Doubtful, all_sets, best
from aqualib.units import ZERO_CELSIUS, from_si, number, shown
from aqualib.water.ph_scales import FRESH_BELOW

HUNDRED_LITRES = 0.1
"""m³"""
TWIN = running_tank().marine
"""The panel opens on the marine twin, which the rule is made for."""
REACTOR = "GrommenEtAl2005"
"""Who measured a reactor on an aquarium."""
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
    nitrate = nitrate_audit.bare(rule * HUNDRED_LITRES, HUNDRED_LITRES, density, protein)
    media_rate = from_si(float(nitrate.media_rate), "mg/L/day")
    reactor = fed_reactor()
    return RuleMap(
        celsius=from_si(temperature, "degC"),
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
        media_rate=media_rate,
        reactor=reactor,
        reactor_food=(
            from_si(density, "g/day") * reactor[0] / media_rate,
            from_si(density, "g/day") * reactor[1] / media_rate,
        ),
        stocks=stocked(temperature, salinity),
        warning=warning(ammonia, temperature, salinity),
    )


@lru_cache(maxsize=1)
def fed_reactor() -> tuple[float, float]:
    """Return what a litre of reactor took out that was fed for it, in mg of nitrogen a day."""
    found = [row for row in measured_denitrification() if row.source == REACTOR]
    return min(row.low.m for row in found), max(row.high.m for row in found)


@lru_cache(maxsize=64)
def stocked(temperature: float, salinity: float) -> dict[str, float]:
    """Return what a lightly and a heavily stocked tank eats, in g for 100 L a day."""
    water = "fresh" if salinity < FRESH_BELOW else "marine"
    found = {}
    for name in ("light", "heavy"):
        stock = stocking.bare(HUNDRED_LITRES, f"{name} {water}")
        feed = daily_feed.bare(stock.stock_mass, stock.body_mass, temperature, stock.ration)
        found[name] = from_si(float(feed), "g/day")
    return found


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
    "holds": "holds for ammonia",
    "depends": "depends on your film for ammonia",
    "fails": "fails for ammonia",
}
NITRATE_VERDICTS = {
    "fed": "only if fed",
    "best": "only like the best fed reactor",
    "fails": "not even if fed",
}


def describe(result: RuleMap) -> str:
    """Say what the map shows."""
    least, most = (number(as_shown(food, FOOD), 2) for food in (result.low_here, result.high_here))
    low, high = (number(rate, 2) for rate in result.reactor)
    return (
        f"It carries {shown(result.best_here, FOOD)}, {least} to {most}. "
        f"For nitrate each litre of media must take out {number(result.media_rate, 2)} "
        f"mg a day: a fed reactor did {low} to {high}, "
        f"live rock nothing sure.{result.warning}"
    )


def answer(result: RuleMap) -> tuple[str, str]:
    """Give the highlighted verdicts: on ammonia, and on nitrate."""
    ammonia, nitrate = VERDICTS[result.verdict], NITRATE_VERDICTS[result.nitrate_verdict]
    return "For your tank the rule", f"{ammonia}; for nitrate {nitrate}"


def audit_panel() -> Panel:
    """Return the panel: a rule of thumb, and where it holds."""
    controls: dict[str, Control] = {
        "rule": Slider("Media for each 100 L", "media_rule", 0.1),
        "salinity": Slider("Salinity", "tank_salinity", 1.0, TWIN["tank_salinity"]),
        "feed": Slider("Food", "tank_feed", 0.1, TWIN["tank_feed"]),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "temperature": Slider("Temperature", "tank_temperature", 0.5, TWIN["tank_temperature"]),
        "ammonia": Slider("Ammonia that may remain, as N", "ammonia_allowed", 0.05),
        "area_per_mass": Slider("Outer surface of the media", "media_area_per_mass", 0.01),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
    }
    return Panel("Audit a rule of thumb", controls, compute, RuleRegion(), describe, answer)
