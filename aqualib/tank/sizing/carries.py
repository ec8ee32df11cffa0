"""What a filter carries: every limit as food a day, and the smallest of them by name."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.draws import Span
from aqualib.edge import model
from aqualib.filtration.biofilm import film_limits, film_uptake, still_warms
from aqualib.tank.load import daily_feed
from aqualib.tank.sizing.flow_past import ammonia_removed
from aqualib.tank.sizing.food_limits import (
    feed_for_ammonia,
    feed_for_dirt,
    feed_for_filter_oxygen,
    feed_for_tank_oxygen,
    nitrate_removed,
    rock_area,
)
from aqualib.tank.sizing.oxygen import (
    KILOGRAM,
    fish_oxygen_per_feed,
    oxygen_by_flow,
    oxygen_through_surface,
)
from aqualib.tank.sizing.system import SYSTEM, Numbers
from aqualib.tank.sizing.uncertainty import SETS, Doubtful, all_sets, best, span
from aqualib.water.oxygen import saturation

LIMITS = {
    "surface": "surface for bacteria",
    "flow": "ammonia in the flow",
    "filter_oxygen": "oxygen in the flow",
    "tank_oxygen": "oxygen from the air",
    "dirt": "room for dirt",
}
"""What may limit -> its name in words. Surface and flow are two faces of one number."""


class Limits(NamedTuple):
    """Food a day that each part carries, and the share of the first that hangs on the flow."""

    surface: Any
    filter_oxygen: Any
    tank_oxygen: Any
    dirt: Any
    flow_share: Any
    nitrate: Any


class Carried(NamedTuple):
    """What a filter carries in a day, each as low, best and high.

    The first four are the food each part carries; `feed` is the smallest of them, `stock` the
    fish that eat it. `limiting` is what sets it, a key of `LIMITS`, and `chances` in which share
    of the sets of uncertain numbers each part does. `nitrate` is the food whose nitrate leaves
    as gas, or None where no media without oxygen are claimed; it does not limit.
    """

    surface: Span
    filter_oxygen: Span
    tank_oxygen: Span
    dirt: Span
    feed: Span
    stock: Span
    limiting: str
    chances: dict[str, float]
    nitrate: Span | None


@model(
    returns={
        "surface": "g/day",
        "filter_oxygen": "g/day",
        "tank_oxygen": "g/day",
        "dirt": "g/day",
        "feed": "g/day",
        "stock": "kg",
        "nitrate": "g/day",
    }
)
def what_it_carries(system: Annotated[Numbers, SYSTEM]) -> Carried:
    """Return what a filter carries: food in g/day and fish in kg, with the limit by name.

    >>> from aqualib.tank.sizing import FilterSystem
    >>> carried = what_it_carries(FilterSystem(media_mass=Q(2, "kg"), salinity=35))
    >>> carried.limiting, carried.feed.best.round(2)
    ('surface', <Quantity(1.67, 'gram / day')>)
    """
    one, many = (no_gain_from_heat(system, doubts) for doubts in (best(), all_sets()))
    parts = {name: span(getattr(one, name), getattr(many, name)) for name in one._fields[:4]}
    least = np.min(np.broadcast_arrays(*many[:4]), axis=0)
    feed = span(min(one[:4]), least)
    per_fish = float(daily_feed.bare(KILOGRAM, system.body_mass, system.temperature, system.ration))
    return Carried(
        **parts,
        feed=feed,
        stock=Span(*(end / per_fish for end in feed)),
        limiting=limiting(one),
        chances=chances(many),
        nitrate=span(one.nitrate, many.nitrate) if system.anoxic_volume else None,
    )


def no_gain_from_heat(system: Numbers, doubts: Doubtful) -> Limits:
    """Return the food that each part carries; in water hotter than measured, no more than there.

    Fish breathe and eat by two laws of warmth, and air comes in by a third: where they were not
    measured together, they may not add up to a larger stock.
    """
    found = food_limits(system, doubts)
    measured = float(still_warms(system.temperature))
    if measured == system.temperature:
        return found
    there = food_limits(system._replace(temperature=measured), doubts)
    least = {n: np.minimum(getattr(found, n), getattr(there, n)) for n in Limits._fields[:4]}
    return found._replace(**least)


def food_limits(system: Numbers, doubts: Doubtful) -> Limits:
    """Return the food in kg/s that each part carries, for numbers or for sets of them."""
    full = float(saturation.bare(system.temperature, system.salinity))
    kept, left = system.oxygen_kept * full, system.oxygen_at_outlet * full
    by_filter, by_rock, flow_share = nitrified(system, doubts, kept)
    protein, share = system.protein_fraction, doubts.ammonia_per_protein
    fish = fish_oxygen_per_feed.bare(
        system.body_mass,
        system.temperature,
        system.ration,
        doubts.fed_metabolism,
        doubts.oxygen_per_feed,
    )
    flow = oxygen_by_flow.bare(system.flow, kept, left)
    air = oxygen_through_surface.bare(
        system.volume, system.temperature, kept, system.surface_exchange, system.salinity
    )
    nitrate = nitrate_removed.bare(system.anoxic_volume, system.carbon, doubts.denitrification_rate)
    return Limits(
        surface=feed_for_ammonia.bare(by_filter + by_rock, protein, share),
        filter_oxygen=feed_for_filter_oxygen.bare(
            flow, protein, by_rock, doubts.dirt_oxygen, share
        ),
        tank_oxygen=feed_for_tank_oxygen.bare(air, protein, fish, doubts.dirt_oxygen, share),
        dirt=feed_for_dirt.bare(system.dirt_held, system.cleaning_interval, doubts.solids_per_feed),
        flow_share=flow_share,
        nitrate=feed_for_ammonia.bare(nitrate, protein, share),
    )


def nitrified(system: Numbers, doubts: Doubtful, oxygen: float) -> tuple[Any, Any, Any]:
    """Return the ammonia in kg/s that filter and rock take out, and the flow's share in it.

    What the filter takes out grows in proportion if media and flow both grow; the share says how
    much of that growth the flow alone would give.
    """
    limits = film_limits.bare(
        system.temperature,
        system.salinity,
        oxygen,
        doubts.nitrifying_share,
        doubts.transfer,
        doubts.capacity,
        doubts.at_sea,
        system.ph,
        doubts.acid_loss,
    )
    film = limits.transfer, limits.ammonia_most, doubts.half_saturation
    ammonia = system.total_ammonia_nitrogen
    area = system.media_mass * system.area_per_mass + system.pad_area
    by_filter = ammonia_removed.bare(ammonia, system.flow, area, *film)
    leaving = np.maximum(ammonia - by_filter / system.flow, 0.0)
    last = area * film_uptake.bare(leaving, *film)
    of_rock = rock_area.bare(system.rock_mass, roughness=doubts.roughness)
    by_rock = of_rock * film_uptake.bare(ammonia, *film)
    whole = np.maximum(by_filter + by_rock, np.finfo(float).tiny)
    return by_filter, by_rock, (by_filter - last) / whole


def limiting(limits: Limits) -> str:
    """Return which part limits, a key of `LIMITS`."""
    first = min(limits._fields[:4], key=lambda name: float(getattr(limits, name)))
    return "flow" if first == "surface" and limits.flow_share > 0.5 else first


def chances(limits: Limits) -> dict[str, float]:
    """Return in which share of the sets each part limits."""
    first = np.argmin(np.broadcast_arrays(*limits[:4]), axis=0)
    counted = np.bincount(first, minlength=4) / SETS
    shares = dict(zip(limits._fields[:4], map(float, counted), strict=True))
    by_flow = float(np.sum((first == 0) & (limits.flow_share > 0.5)) / SETS)
    shares["surface"] -= by_flow
    return {"flow": by_flow, **shares}
