"""Oxygen for a day's food: who uses it, and what flow and surface bring of it."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.tank.load import ammonia_production, daily_feed, oxygen_roads
from aqualib.tank.load.stock import BODY_MASSES, FISH_TEMPERATURES
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.nitrogen import oxygen_demand
from aqualib.water.oxygen import saturation, transfer_coefficient, transfer_rate

FLOW = Range(0, 1e6, "L/h")
OXYGEN_LEVELS = Range(0, 50, "mg/L")
DAILY_RATES = Range(0, 1e6, "g/day")
PER_FEED = Range(0, 5)
OXYGEN_SHARES = Range(0, 1)
KILOGRAM = 1.0


class OxygenNeeds(NamedTuple):
    """Grams of oxygen for each gram of food: the fish, the nitrifiers, what eats the dirt, all."""

    fish: Any
    nitrification: Any
    dirt: Any
    everything: Any


@public(
    returns=dict.fromkeys(OxygenNeeds._fields, ""),
    sources=("TimmonsEbeling2013", "EPA1993", "HiattGrady2008", "BoydFeedOxygen"),
)
def oxygen_needs(
    protein_fraction: Annotated[Number, OXYGEN_SHARES],
    fish: Annotated[Number | None, PER_FEED] = None,
    dirt: Annotated[Number | None, PER_FEED] = None,
    ammonia_per_protein: Annotated[Number | None, Range(0, 0.16)] = None,
) -> OxygenNeeds:
    """Return the grams of oxygen that go for each gram of food, as four plain numbers.

    The filter's bacteria and the fish draw on the same water; a filter is not free of charge.

    Equation: all = fish + 4.329 x 0.092 p + dirt, with the protein fraction p and 4.329 that of
    `oxygen_demand` with growth.

    protein_fraction: The label's crude protein; 45 % is 0.45.
    fish: As of `fish_oxygen_per_feed`; None takes `oxygen_per_feed` of `data/parameters.csv`.
    dirt: None takes `dirt_oxygen_per_feed`.
    ammonia_per_protein: None takes `ammonia_per_protein`.
    Returns: fish (g of oxygen per g of food, like the rest); dirt (bacteria that eat faeces and
        leftovers).
    Source: TimmonsEbeling2013 for 0.092 and, from memory, for the fish's 0.25; EPA1993 and
        HiattGrady2008 for 4.329. BoydFeedOxygen (opening pages of a trade article) has 1.25 g in
        all for ponds, where everything is burnt but the harvest: the high ends of the rows
        together come to it.
    Validity: dirt that stays in the water is burnt; what goes out with the pads is not.

    >>> round(oxygen_needs(0.45).everything, 3)
    0.629
    """
    ammonia = ammonia_production.bare(KILOGRAM, protein_fraction, ammonia_per_protein)
    nitrification = oxygen_demand.bare(ammonia, True)
    fish, dirt = or_row(fish, "oxygen_per_feed"), or_row(dirt, "dirt_oxygen_per_feed")
    # One shape for all four.
    none = 0.0 * (fish + nitrification + dirt)
    return OxygenNeeds(fish + none, nitrification + none, dirt + none, fish + nitrification + dirt)


@public(returns="", sources=("TimmonsEbeling2013", "AguilarEtAl2017", "LupatschEtAl2013"))
def fish_oxygen_per_feed(
    body_mass: Annotated[Amount, BODY_MASSES],
    temperature: Annotated[Amount, FISH_TEMPERATURES],
    ration: Annotated[Number | None, Range(0.05, 15)] = None,
    fed_metabolism: Annotated[Number | None, Range(1, 4)] = None,
    oxygen_per_feed: Annotated[Number | None, Range(0, 2)] = None,
) -> Number:
    """Return the grams of oxygen that fish breathe for each gram they are fed, as a plain number.

    Grown fish on little food burn all of it: they breathe several times what fast growers do for
    the same spoonful.

    Equation: the larger road of `oxygen_roads` over the food of `daily_feed`.

    body_mass: One fish.
    ration: Food over that which holds a fish's weight; None takes `feeding_ration` of
        `data/parameters.csv`.
    fed_metabolism: None takes `fed_metabolism`.
    oxygen_per_feed: For fast growers; None takes `oxygen_per_feed`.
    Returns: G of oxygen per g of food.
    Source: TimmonsEbeling2013 for 0.25, from memory; AguilarEtAl2017 for fish at rest;
        LupatschEtAl2013 for the food.
    Validity: as `oxygen_roads`.

    >>> round(fish_oxygen_per_feed(Q(5, "g"), Q(25, "degC")), 2)
    0.85
    """
    feed = daily_feed.bare(KILOGRAM, body_mass, temperature, ration)
    roads = oxygen_roads.bare(KILOGRAM, body_mass, temperature, feed, fed_metabolism)
    return np.maximum(roads.from_body / feed, or_row(oxygen_per_feed, "oxygen_per_feed"))


def _check_drop(oxygen_in: Any, oxygen_out: Any, **_: Any) -> None:
    """Raise where more oxygen is to leave the filter than comes in."""
    if np.any(np.asarray(oxygen_out) > np.asarray(oxygen_in)):
        shown = f"{1000.0 * np.max(oxygen_out):g} mg/L"
        valid = f"0 to the {1000.0 * np.min(oxygen_in):g} mg/L that come in"
        raise ValidityError("oxygen_out", shown, valid, "", "is more than comes in")


@public(returns="g/day", sources=("TimmonsEbeling2013",), together=_check_drop)
def oxygen_by_flow(
    flow: Annotated[Amount, FLOW],
    oxygen_in: Annotated[Amount, OXYGEN_LEVELS],
    oxygen_out: Annotated[Amount, OXYGEN_LEVELS],
) -> Number:
    """Return the oxygen that a flow brings to a closed filter, in g/day.

    In a canister the flow is the only breath the bacteria get.

    Equation: O = Q (C_in - C_out).

    flow: Q, what really flows.
    oxygen_in: Dissolved oxygen in the tank.
    oxygen_out: What must be left at the outlet.
    Raises: more is to leave than comes in.
    Source: a mass balance; TimmonsEbeling2013 sizes flows in this way (from memory).
    Validity: filters without air inside; a trickling filter breathes by itself.

    >>> oxygen_by_flow(Q(600, "L/h"), Q(6, "mg/L"), Q(3, "mg/L")).round(1)
    <Quantity(43.2, 'gram / day')>
    """
    return flow * (oxygen_in - oxygen_out)


@public(returns="1/hour", sources=("GeldaEtAl1996",))
def surface_exchange_rate(
    depth: Annotated[Amount, Range(1, 10000, "cm")],
    film_velocity: Annotated[Amount | None, Range(0, 1000, "m/day")] = None,
) -> Number:
    """Return how fast the air closes the gap to saturation in water of this depth, per hour.

    Air reaches water through its surface only: twice as deep is half as fast.

    Equation: K_L a = K_L / h.

    depth: Of the water, h; its volume over its surface.
    film_velocity: K_L at 20 °C, the depth of water that the air renews in a day; None takes
        `surface_film_velocity` of `data/parameters.csv`.
    Source: GeldaEtAl1996 (abstract) for a lake: 1.50 and 2.64 m a day, and 0.2 m a day for each
        m/s of a light wind. Indoors there is none: the row's value, for a surface that the
        filter's return ripples, is assumed.
    Validity: bubbles bring more than the surface; a lid or a film of fat lets less through.

    >>> surface_exchange_rate(Q(45, "cm"), Q(1.5, "m/day")).round(3)
    <Quantity(0.139, '1 / hour')>
    """
    return or_row(film_velocity, "surface_film_velocity") / depth


@public(returns="g/day", sources=("ASCE206", "IS13166", "BensonKrause1984", "USGS2011"))
def oxygen_through_surface(
    volume: Annotated[Amount, Range(0, 1e5, "L")],
    temperature: Annotated[Amount, FISH_TEMPERATURES],
    oxygen: Annotated[Amount, OXYGEN_LEVELS],
    surface_exchange: Annotated[Amount | None, Range(0, 200, "1/h")] = None,
    salinity: Annotated[Number, Range(0, 40)] = 0.0,
) -> Number:
    """Return the oxygen that a tank takes up from the air at this oxygen level, in g/day.

    The lower you let the oxygen fall, the faster it comes in; what comes in at the least level
    you allow is all there is for fish and filter together.

    Equation: O = K_L a(20) 1.024^(t - 20) (O_sat - C) V.

    oxygen: C, what must remain in the tank.
    surface_exchange: K_L a at 20 °C, as of `surface_exchange_rate`; None takes
        `surface_exchange` of `data/parameters.csv`.
    Returns: Negative above saturation.
    Source: ASCE206 and IS13166 for the form and 1.024; BensonKrause1984 and USGS2011 for O_sat.
    Validity: well mixed water. No measurement of a home tank's K_L a was found: the row is
        assumed. Plants and algae, which give oxygen by day and take it by night, are left out.

    >>> oxygen_through_surface(Q(200, "L"), Q(20, "degC"), Q(6, "mg/L"), Q(2, "1/h")).round(2)
    <Quantity(29.69, 'gram / day')>
    """
    exchange = or_row(surface_exchange, "surface_exchange")
    warm = transfer_coefficient.bare(exchange, temperature)
    return transfer_rate.bare(warm, saturation.bare(temperature, salinity), oxygen, volume)
