"""A system with nothing left open: plain SI numbers, and what had to be assumed for them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.load import daily_feed, solids_production
from aqualib.tank.plan.assumed import Assumption, Filling
from aqualib.tank.plan.parts import CARBON, CATCHERS, MEDIA, SETTLING, Filter, Tank
from aqualib.tank.plan.system import System, example_system
from aqualib.tank.plan.trays import Box, Place, box
from aqualib.tank.volume import (
    displaced_by,
    gravel_displacement,
    rectangular_volume,
    true_water_volume,
)
from aqualib.units import from_si
from aqualib.validity import ValidityError
from aqualib.water.ph_scales import FRESH_BELOW
from aqualib.water.properties import chloride

SALTY = 15.0
"""Practical salinity from which a tank is called marine here: halfway to the sea, or nearly."""


class Filled(NamedTuple):
    """A whole system in SI base units."""

    volume: float
    temperature: float
    salinity: float
    ph: float
    alkalinity: float
    chloride: float
    tap_nitrate: float
    feed: float
    protein: float
    body: float
    stock: float
    solids: float
    rock: float
    air: float
    """How fast the air closes the gap to saturation, in 1/s."""
    surface: float
    """Of the water, where it evaporates; 0 where no sides are known."""
    round_filter: bool
    floor: float
    width: float
    length: float
    places: tuple[Place, ...]
    rated_flow: float
    rated_head: float
    power: float
    price: float
    measured_flow: float
    """0 where none was measured."""
    bore: float
    own_bore: float
    """Bore to whose speed the losses of the filter's own parts are told."""
    hose_length: float
    elbows: float
    lift: float
    lamp_power: float
    """0 without a lamp."""
    lamp_hours: float
    lamp_hours_a_day: float
    carbon: float
    change: float
    change_every: float
    clean_every: float
    seed: float
    nitrate_now: float

    @property
    def is_sea(self) -> bool:
        """Whether it is kept as a marine tank."""
        return self.salinity >= SALTY

    @property
    def water_name(self) -> str:
        """What the water is called, with its salinity where it has any."""
        if self.salinity < FRESH_BELOW:
            return "fresh water"
        kind = "sea" if self.is_sea else "brackish"
        return f"{kind} water (salinity {self.salinity:.3g})"

    def holding(self, *kinds: str) -> list[Place]:
        """Return the trays that hold one of these."""
        return [place for place in self.places if place.holds in kinds]

    @property
    def media(self) -> list[Place]:
        """The trays of media."""
        return self.holding(*MEDIA)

    def with_trays(self, places: Iterable[Place]) -> Filled:
        """Return the system with other trays, in the water's order."""
        return self._replace(places=tuple(places))

    def with_tray(self, at: int, place: Place) -> Filled:
        """Return the system with another thing in one of its trays."""
        return self.with_trays(place if n == at else old for n, old in enumerate(self.places))


def filled(system: System) -> tuple[Filled, tuple[Assumption, ...]]:
    """Return a system's numbers with nothing left open, and what was assumed for them."""
    fill = Filling(system)
    volume, surface = _water(fill)
    share = volume / parameter("tank_volume").bare
    temperature = fill.of("water", "temperature")
    body, stock, feed = _stock(fill, share, temperature)
    canister = _filter(fill, share)
    flow = _rated_flow(fill, volume)
    bore, head = _bore(fill, flow), fill.of("pump", "rated_head")
    lamp = system.lamp
    whole = Filled(
        volume=volume,
        temperature=temperature,
        salinity=_salinity(fill),
        ph=_ph(fill),
        alkalinity=fill.of("water", "alkalinity"),
        chloride=_chloride(fill),
        tap_nitrate=fill.of("water", "tap_nitrate"),
        feed=feed,
        protein=fill.of("stock", "protein"),
        body=body,
        stock=stock,
        solids=_solids(fill, feed),
        rock=_or_none(fill, "rock"),
        air=fill.of("tank", "air"),
        surface=surface,
        **canister._asdict(),
        rated_flow=flow,
        rated_head=head,
        power=_power(fill, flow),
        price=fill.of("pump", "price"),
        measured_flow=system.pump.bare.measured_flow or 0.0,
        bore=bore,
        own_bore=bore,
        hose_length=fill.of("hose", "length"),
        elbows=fill.of("hose", "elbows"),
        lift=_lift(fill, head),
        lamp_power=fill.of("lamp", "power") if lamp else 0.0,
        lamp_hours=fill.of("lamp", "hours_burnt") if lamp else 0.0,
        lamp_hours_a_day=fill.of("lamp", "hours_a_day") if lamp else 0.0,
        carbon=_carbon(fill, canister),
        change=fill.of("care", "change"),
        change_every=fill.of("care", "change_every"),
        clean_every=fill.of("care", "clean_every"),
        seed=_seed(fill),
        nitrate_now=_nitrate_now(system),
    )
    return whole, tuple(fill.assumed)


def _seed(fill: Filling) -> float:
    """Return the share of a full film that the seed brings."""
    word = fill.system.care.seed
    if word is None:
        word = "squeeze"
        fill.say("care.seed", word, "of a ripe sponge, as in lesson 03")
    return parameter("start_up_seed" if word == "none" else f"seed_{word}").bare


def _nitrate_now(system: System) -> float:
    return float(system.readings.bare.nitrate) if system.readings.gives("nitrate") else math.nan


def _water(fill: Filling) -> tuple[float, float]:
    """Return the litres of water, as told or from the sides, and the water's surface."""
    tank = fill.system.tank
    sides = all(map(tank.gives, ("length", "width", "water_depth")))
    surface = tank.bare.length * tank.bare.width if sides else 0.0
    if tank.gives("water"):
        return float(tank.bare.water), surface
    if not sides:
        row, ground = parameter("tank_volume"), "as in the lessons' tank; measure its three sides"
        return fill.take("tank.water", row.bare, row.unit, ground), 0.0
    return net_water(tank, _or_none(fill, "rock"), _or_none(fill, "gravel_depth")), surface


def net_water(tank: Tank, rock: float, gravel: float) -> float:
    """Return the water between glass, stones and gravel."""
    box = rectangular_volume.bare(tank.bare.length, tank.bare.width, tank.bare.water_depth)
    below = gravel_displacement.bare(tank.bare.length * tank.bare.width, gravel)
    below += displaced_by.bare(rock, parameter("granite_density").bare)
    if below >= box:
        litres = f"{from_si(float(below), 'L'):.3g} L"
        valid = f"less than the tank's {from_si(float(box), 'L'):.3g} L"
        raise ValidityError("tank.rock and tank.gravel_depth", litres, valid, "", "leave no water")
    return float(true_water_volume.bare(box, below))


def _or_none(fill: Filling, field: str) -> float:
    """Return stones or gravel; what nobody mentioned is not there."""
    tank = fill.system.tank
    return float(getattr(tank.bare, field)) if tank.gives(field) else 0.0


def _salinity(fill: Filling) -> float:
    water = fill.system.water
    if water.gives("salinity"):
        return float(water.bare.salinity)
    return fill.take("water.salinity", 0.0, "", "fresh water")


def _chloride(fill: Filling) -> float:
    """Return the chloride; salt brings far more than a tap does."""
    water = fill.system.water
    if not water.gives("chloride") and water.gives("salinity") and water.bare.salinity > 0.0:
        salt = float(chloride.bare(water.bare.salinity))
        return fill.take("water.chloride", salt, "mg/L", "that of its salt")
    return fill.of("water", "chloride")


def _ph(fill: Filling) -> float:
    """Return the pH; sea water is known without a test."""
    water = fill.system.water
    if not water.gives("ph") and water.gives("salinity") and water.bare.salinity >= SALTY:
        return fill.take("water.ph", parameter("sea_ph").bare, "", "sea water")
    return fill.of("water", "ph")


def _stock(fill: Filling, share: float, temperature: float) -> tuple[float, float, float]:
    """Return weight of a fish, weight of all, and food; each helps where another is missing."""
    stock = fill.system.stock
    body = fill.of("stock", "one_fish")
    grams = "as in the lessons' tank, for as many litres"
    if stock.gives("fish"):
        fish = float(stock.bare.fish)
        if stock.gives("food"):
            return body, fish, float(stock.bare.food)
        feed = float(daily_feed.bare(fish, body, temperature))
        return body, fish, fill.take("stock.food", feed, "g/day", "what such fish eat, lesson 07")
    if not stock.gives("food"):
        row = parameter("tank_feed")
        feed = fill.take("stock.food", row.bare * share, row.unit, grams)
    else:
        feed = float(stock.bare.food)
    eaten = float(daily_feed.bare(1.0, body, temperature))
    return body, fill.take("stock.fish", feed / eaten, "g", "fish that eat this food"), feed


def _solids(fill: Filling, feed: float) -> float:
    """Return the dry dirt that the tank makes; left open, a share of the food."""
    if fill.system.stock.gives("solids"):
        return float(fill.system.stock.bare.solids)
    made = float(solids_production.bare(feed))
    return fill.take("stock.solids", made, "g/day", "a share of the food, lesson 05")


def _filter(fill: Filling, share: float) -> Box:
    """Return floor and trays; without a word on the filter, the example's, for as many litres."""
    found = fill.system.filter
    if found is None:
        example = example_system().filter
        assert isinstance(example, Filter)
        across = float(example.bare.width) * math.sqrt(share)
        fill.take("filter", across, "cm", "the lessons' filter, as wide as the litres ask for")
        return box(True, across, across, example.trays, share)
    is_round = found.shape == "round"
    width = fill.of("filter", "width")
    length = width
    if not is_round:
        length = fill.of("filter", "length")
    return box(is_round, width, length, found.trays, 1.0)


def pads_of(whole: Filled) -> list[Place]:
    """Return the pads, floss too, in the water's order."""
    return whole.holding(*CATCHERS)


def catches_dirt(whole: Filled) -> list[Place]:
    """Return what catches dirt in the water's order: pads and settling spaces."""
    return whole.holding(SETTLING, *CATCHERS)


def _carbon(fill: Filling, canister: Box) -> float:
    """Return the carbon; a tray of it that nobody weighed is full."""
    told = fill.system.carbon
    if told and told.gives("mass"):
        return float(told.bare.mass)
    high = sum(place.height for place in canister.places if place.holds == CARBON)
    if high:
        mass = high * canister.floor * parameter("carbon_bulk_density").bare
        return fill.take("carbon.mass", mass, "g", "what fills its tray, lesson 10")
    return fill.of("carbon", "mass") if told else 0.0


def _rated_flow(fill: Filling, volume: float) -> float:
    """Return the flow on the pump's box; left open, the trade's rule for these litres."""
    if fill.system.pump.gives("rated_flow"):
        return float(fill.system.pump.bare.rated_flow)
    measured = fill.system.pump.bare.measured_flow
    ratio = parameter("pump_rated_flow").bare / parameter("media_flow").bare
    if measured:
        ground = "what the box of such a flow says in the lessons' filter"
        return fill.take("pump.rated_flow", float(measured) * ratio, "L/h", ground)
    usual = parameter("turnover_rule").bare * volume * ratio
    ground = "the trade's rule of turnovers (common practice, no source)"
    return fill.take("pump.rated_flow", usual, "L/h", ground)


def _bore(fill: Filling, flow: float) -> float:
    """Return the hose's bore; left open, the lessons', or wider where it would be too fast."""
    usual, ratio = parameter("hose_bore"), flow / parameter("pump_rated_flow").bare
    if fill.system.hose.gives("bore") or ratio <= MUCH_MORE_FLOW:
        return fill.of("hose", "bore")
    # The water runs through it as fast as through the lessons' hose.
    ground = "as wide as the flow on the box asks for"
    return fill.take("hose.bore", usual.bare * math.sqrt(ratio), usual.unit, ground)


MUCH_MORE_FLOW = 2.0
"""Times the lessons' flow from which no keeper would take the lessons' hose: a judgement."""


def _lift(fill: Filling, reach: float) -> float:
    """Return how high the water is lifted; where a bucket was filled, the pump does reach it."""
    lift = fill.of("hose", "lift")
    if fill.system.pump.bare.measured_flow and lift >= reach:
        return fill.take("hose.lift", 0.0, "m", "the bucket was filled, so the pump reaches it")
    return lift


def _power(fill: Filling, flow: float) -> float:
    """Return the pump's power; left open, that of the example for this flow."""
    if fill.system.pump.gives("power"):
        return float(fill.system.pump.bare.power)
    usual = parameter("pump_power").bare * flow / parameter("pump_rated_flow").bare
    return fill.take("pump.power", usual, "W", "as in the lessons' filter, for this flow")
