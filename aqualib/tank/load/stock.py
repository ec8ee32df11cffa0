"""From the animals to the food they need, and to the oxygen they breathe, by two roads."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row, parameter
from aqualib.tank.load.nitrogen import PROTEIN_SHARES, ammonia_production
from aqualib.tank.load.wastes import (
    WASTE_RATES,
    carbon_dioxide_production,
    oxygen_consumption,
    phosphorus_production,
    solids_production,
)
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS, Amount, Number
from aqualib.validity import OneOf, Range

STOCK_MASSES = Range(0, 1e6, "g")
BODY_MASSES = Range(0.05, 2000, "g")
FISH_TEMPERATURES = Range(4, 34, "degC")
FISH_MEASURED = Range(19, 33, "degC", "AguilarEtAl2017")
"""Temperatures at which their breathing was measured; beyond it goes on by the same curve."""
KILOJOULE = 1000.0
"""joule"""
# name -> rows of the stock, of one fish and of the ration; no row is no food
STOCKS = {
    "light fresh": ("light_fresh_stock", "fresh_fish", "ration_holding"),
    "heavy fresh": ("heavy_fresh_stock", "fresh_fish", "ration_heavy"),
    "light marine": ("light_marine_stock", "marine_fish", "ration_holding"),
    "heavy marine": ("heavy_marine_stock", "marine_fish", "ration_heavy"),
    "growing fresh": ("heavy_fresh_stock", "fresh_fish", "ration_growing"),
    "growing marine": ("heavy_marine_stock", "marine_fish", "ration_growing"),
    "fasting fresh": ("light_fresh_stock", "fresh_fish", ""),
    "fasting marine": ("light_marine_stock", "marine_fish", ""),
}
KINDS = tuple(STOCKS)


@public(returns="g/day", sources=("LupatschEtAl2013", "AguilarEtAl2017"))
def daily_feed(
    stock_mass: Annotated[Amount, STOCK_MASSES],
    body_mass: Annotated[Amount, BODY_MASSES],
    temperature: Annotated[Amount, FISH_TEMPERATURES],
    ration: Annotated[Number | None, Range(0, 15)] = None,
    food_energy: Annotated[Amount | None, Range(5, 30, "MJ/kg")] = None,
) -> Number:
    """Return the dry food that a stock of fish is given in a day, in g/day.

    Small fish eat more for their weight than large ones, and all eat more in warm water: 100 g
    of fish of 1 g each need almost twice the food of 100 g of fish of 20 g each.

    Equation: F = r n E q^((t - 27) / 10) / e, with n = M / w fish, E = 43.2 kJ/day w^0.80 (w in
    kg), the food's energy e and the ration r: 0 for fasting, 1 for fish that hold their weight.

    stock_mass: All fish together, M.
    body_mass: One fish, w.
    ration: None takes `feeding_ration` of `data/parameters.csv`.
    food_energy: Gross energy; None takes `food_energy` of `data/parameters.csv`.
    Returns: Of food as it comes out of the tin.
    Source: LupatschEtAl2013 for 43.2 and 0.80, measured on anemone clownfish of 0.2 to 1.3 g at
        27 degC in sea water; AguilarEtAl2017 for q = 2.06 (`feeding_q10`).
    Validity: measured on one small marine fish; other species, other sizes and fresh water are
        taken to be alike. Fish stop eating well before they die of heat or cold: near the ends
        of what a species bears, this gives too much. Frozen food holds about four fifths of
        water.
    Departures: the source gives energy; it is divided by that of the food.

    >>> daily_feed(Q(100, "g"), Q(5, "g"), Q(25, "degC"), ration=1).round(2)
    <Quantity(0.55, 'gram / day')>
    """
    energy = 43.2 * KILOJOULE / SECONDS_PER_DAY * body_mass**0.80
    warmth = parameter("feeding_q10").bare ** ((temperature - ZERO_CELSIUS - 27.0) / 10.0)
    each = energy * warmth / or_row(food_energy, "food_energy")
    return or_row(ration, "feeding_ration") * stock_mass / body_mass * each


@public(returns="g/day", sources=("AguilarEtAl2017", "ElliottDavison1975"))
def fasting_oxygen(
    stock_mass: Annotated[Amount, STOCK_MASSES],
    body_mass: Annotated[Amount, BODY_MASSES],
    temperature: Annotated[Amount, FISH_TEMPERATURES],
) -> Number:
    """Return the oxygen that resting, unfed fish breathe, in g/day.

    A fish that gets no food still breathes: this is the least oxygen a tank must have.

    Equation: O = n H / 13.56 kJ/g, with n = M / w fish and H = 0.04643 w^0.7882 t^1.837 kJ/day
    (w in kg, t in degrees Celsius).

    stock_mass: All fish together, M.
    body_mass: One fish, w.
    Source: AguilarEtAl2017 for H, measured on pacu, a fresh-water fish of the tropics;
        ElliottDavison1975 for 13.56 kJ per g of oxygen.
    Validity: measured at 17 to 1050 g and 19 to 33 degC; outside it is a guess by the same
        curve. Species differ by a factor of two: reef fish at 25 degC breathe 0.7 to 0.9 times
        as much, goldfish at 20 degC 1.2 times; one survey of 69 species gives 2.1 times.
    Departures: the source gives heat; it is divided by the heat of a gram of oxygen.

    >>> fasting_oxygen(Q(50, "g"), Q(50, "g"), Q(25, "degC")).round(3)
    <Quantity(0.119, 'gram / day')>
    """
    celsius = temperature - ZERO_CELSIUS
    heat = 0.04643 * KILOJOULE / SECONDS_PER_DAY * body_mass**0.7882 * celsius**1.837
    # 13.56 kJ for a gram is 13.56 MJ for a kilogram.
    return stock_mass / body_mass * heat / (13.56 * KILOJOULE * KILOJOULE)


class OxygenRoads(NamedTuple):
    """Oxygen for the fish, reckoned from their food and from their bodies, and the larger."""

    from_feed: Any
    from_body: Any
    larger: Any


@public(
    returns=dict.fromkeys(OxygenRoads._fields, "g/day"),
    sources=(
        "TimmonsEbeling2013",
        "AguilarEtAl2017",
        "DailyTotalMetabolism",
        "LupatschEtAl2013",
    ),
)
def oxygen_roads(
    stock_mass: Annotated[Amount, STOCK_MASSES],
    body_mass: Annotated[Amount, BODY_MASSES],
    temperature: Annotated[Amount, FISH_TEMPERATURES],
    feed: Annotated[Amount, WASTE_RATES],
    fed_metabolism: Annotated[Number | None, Range(1, 4)] = None,
) -> OxygenRoads:
    """Return the oxygen that fish breathe, from their food and from their bodies, in g/day.

    The two roads disagree, and the larger is the one to plan for: a quarter of the food is a
    number for young fish that grow fast, and a grown fish on little food still breathes.

    Equation: from_feed = 0.25 F; from_body = (1 + (m - 1) min(F / F1, 1)) O, with O of
    `fasting_oxygen`, m how many times more a fed fish breathes, F1 the food that holds it.

    fed_metabolism: None takes `fed_metabolism` of `data/parameters.csv`.
    Returns: larger (of the two).
    Source: TimmonsEbeling2013 for 0.25, from memory; AguilarEtAl2017 for the fish at rest;
        DailyTotalMetabolism for 1.076 to 3.066 times as much when fed; LupatschEtAl2013 for F1.
    Validity: daily means; it peaks after a meal. The filter's own oxygen comes on top. Fish
        that only hold their weight breathe four to six times 0.25 F: they burn all they eat.
    Departures: that the factor rises evenly with the food, up to F1, is assumed.

    >>> roads = oxygen_roads(Q(100, "g"), Q(5, "g"), Q(25, "degC"), Q(0.55, "g/day"))
    >>> [round(float(road.m), 2) for road in roads]
    [0.14, 0.7, 0.7]
    """
    holding = daily_feed.bare(stock_mass, body_mass, temperature, 1.0)
    # Without fish nothing is eaten, and nought over nought is to be nought.
    fed = np.minimum(feed, holding) / np.maximum(holding, np.finfo(float).tiny)
    more = 1.0 + (or_row(fed_metabolism, "fed_metabolism") - 1.0) * fed
    from_body = more * fasting_oxygen.bare(stock_mass, body_mass, temperature)
    from_feed = oxygen_consumption.bare(feed)
    return OxygenRoads(from_feed, from_body, np.maximum(from_feed, from_body))


class Stocking(NamedTuple):
    """All fish together, one fish, and the food over what just holds their weight."""

    stock_mass: Any
    body_mass: Any
    ration: Any


@public(
    returns={"stock_mass": "g", "body_mass": "g", "ration": ""},
    sources=("NatarajanEtAl2009", "ElSaidyHussein2015"),
)
def stocking(
    volume: Annotated[Amount, Range(0.1, 1e6, "L")],
    kind: Annotated[str, OneOf(KINDS)],
) -> Stocking:
    """Return a named stock for a tank: fish in g, one fish in g, and their ration.

    These are examples to start from and no advice: how many animals a tank may hold depends on
    their kind, their room and the law, not on grams alone.

    Equation: M = s V, with s grams of fish in each litre (rows `light_fresh_stock` and the like).
    Growing is the heavy stock, fed as young fish are that are to grow.

    volume: The water that is really there.
    Returns: stock_mass (all fish); body_mass (one fish); ration (for `daily_feed`).
    Raises: the kind is not known.
    Source: NatarajanEtAl2009 for 0.92 g/L, heavy marine; ElSaidyHussein2015 for the ration of
        growing fish; the others are assumed.
    Validity: tanks that a home or a school keeps; farms hold ten times as much and more.

    >>> stocking(Q(200, "L"), "heavy fresh").stock_mass
    <Quantity(600.0, 'gram')>
    """
    stock, body, ration = STOCKS[kind]
    share = parameter(ration).bare if ration else 0.0
    # One fish and its ration do not depend on the volume, but come in its shape.
    per_volume = 0.0 * volume
    return Stocking(
        parameter(stock).bare * volume,
        parameter(body).bare + per_volume,
        share + per_volume,
    )


class StockWastes(NamedTuple):
    """What a stock gets and gives off in a day: its food and five wastes or needs, as rates."""

    feed: Any
    ammonia: Any
    oxygen: Any
    carbon_dioxide: Any
    solids: Any
    phosphorus: Any


@public(
    returns=dict.fromkeys(StockWastes._fields, "g/day"),
    sources=("LupatschEtAl2013", "TimmonsEbeling2013", "AguilarEtAl2017", "SyandriEtAl2021"),
)
def stock_wastes(
    stock_mass: Annotated[Amount, STOCK_MASSES],
    body_mass: Annotated[Amount, BODY_MASSES],
    temperature: Annotated[Amount, FISH_TEMPERATURES],
    protein_fraction: Annotated[Number, PROTEIN_SHARES],
    ration: Annotated[Number | None, Range(0, 15)] = None,
) -> StockWastes:
    """Return a stock's food and what becomes of it in a day, as six rates in g/day.

    This is the load a filter has to carry: fish become food, and food becomes everything else.

    Equation: F of `daily_feed`, then each waste by its own function; oxygen is the larger of
    the two roads of `oxygen_roads`, so that unfed fish still breathe.

    protein_fraction: The label's crude protein; 45 % is 0.45.
    ration: None takes `feeding_ration` of `data/parameters.csv`; 0 for fasting.
    Returns: ammonia (as nitrogen); oxygen (the fish alone); carbon_dioxide (breathed out);
        solids (dry); phosphorus (as P, all that is not kept).
    Source: LupatschEtAl2013 for the food; TimmonsEbeling2013 for ammonia and, from memory, for
        solids; AguilarEtAl2017 for breathing; SyandriEtAl2021 for phosphorus kept.
    Validity: as the single functions. Fasting fish still give off some ammonia from their own
        bodies; that is left out, and small.

    >>> stock_wastes(Q(100, "g"), Q(5, "g"), Q(25, "degC"), 0.45).ammonia.to("mg/day").round(1)
    <Quantity(34.1, 'milligram / day')>
    """
    feed = daily_feed.bare(stock_mass, body_mass, temperature, ration)
    oxygen = oxygen_roads.bare(stock_mass, body_mass, temperature, feed).larger
    return StockWastes(
        feed,
        ammonia_production.bare(feed, protein_fraction),
        oxygen,
        carbon_dioxide_production.bare(oxygen),
        solids_production.bare(feed),
        phosphorus_production.bare(feed).phosphorus,
    )
