"""The first panel of lesson 07: what a filter carries, and which part of it limits."""

from __future__ import annotations

from aqualib.draws import Span
from aqualib.lesson.charts.what_it_carries import BARS, Carrying, WhatItCarries
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.tank_and_filter import Equipment
from aqualib.lesson.long_term_limit import warning
from aqualib.lesson.panel import Panel
from aqualib.lesson.whose_tank import own_number
from aqualib.parameters import parameter
from aqualib.tank.sizing import LIMITS, FilterSystem
from aqualib.tank.sizing.carries import what_it_carries
from aqualib.tank.sizing.system import Numbers
from aqualib.units import from_si, shown


def plain_system(**values: float) -> Numbers:
    """Return the system that some controls make, by field; what they leave out is the row's.

    No control asks for the pH: it is that of the tank in use.
    """
    own = own_number("tank_ph")
    return FilterSystem.from_bare(**values, **({} if own is None else {"ph": own})).bare


def pads_volume(dirt: float) -> float:
    """Return the litres of pads in a filter that holds so much dry dirt (kg) until it is due."""
    return from_si(dirt / parameter("dirt_per_pad_litre").bare, "L")


def compute(
    media: float,
    salinity: float,
    feed: float,
    temperature: float,
    volume: float,
    ammonia: float,
    flow: float,
    exchange: float,
    dirt: float,
    interval: float,
    area_per_mass: float,
    pads: float,
    rock: float,
    body: float,
) -> Carrying:
    """Work out what the filter carries; SI numbers in."""
    system = plain_system(
        media_mass=media,
        salinity=salinity,
        temperature=temperature,
        volume=volume,
        total_ammonia_nitrogen=ammonia,
        flow=flow,
        surface_exchange=exchange,
        dirt_held=dirt,
        cleaning_interval=interval,
        area_per_mass=area_per_mass,
        pad_area=pads,
        rock_mass=rock,
        body_mass=body,
    )
    carried = what_it_carries.bare(system)
    by_surface = carried.limiting in {"surface", "flow"}
    first = carried.limiting if by_surface else "surface"
    names = {part: LIMITS[first if part == "surface" else part] for part in BARS}
    return Carrying(
        equipment=equipment_of(system),
        body=from_si(body, "g"),
        pads=pads,
        feed=from_si(feed, "g/day"),
        parts={part: in_grams(getattr(carried, part)) for part in BARS},
        names=names,
        carried=in_grams(carried.feed),
        stock=carried.stock,
        limiting=carried.limiting,
        smallest="surface" if by_surface else carried.limiting,
        warning=warning(ammonia, temperature, salinity),
    )


def equipment_of(system: Numbers) -> Equipment:
    """Return tank and filter as they are drawn."""
    rock = system.rock_mass / parameter("reef_rock_bulk_density").bare
    return Equipment(
        volume=from_si(system.volume, "L"),
        salinity=system.salinity,
        rock=system.rock_mass,
        rock_volume=from_si(rock, "L"),
        media=system.media_mass,
        media_volume=from_si(system.media_mass / system.bulk_density, "L"),
        pads_volume=pads_volume(system.dirt_held),
        flow=from_si(system.flow, "L/h"),
    )


def in_grams(span: Span) -> Span:
    """Return a span of kg/s in g/day."""
    return Span(*(from_si(end, "g/day") for end in span))


def describe(carrying: Carrying) -> str:
    """Say what the picture shows."""
    food, stock = carrying.carried, carrying.stock
    rest = {part: span for part, span in carrying.parts.items() if part != carrying.smallest}
    following = min(rest, key=lambda part: rest[part].best)
    low, high = (shown(end, "g/day", 2) for end in (food.low, food.high))
    # What harms comes before what would limit next.
    word = carrying.warning or (
        f" {LIMITS[following].capitalize()} would limit next, at "
        f"{shown(rest[following].best, 'g/day', 2)}."
    )
    return (
        f"Between {low} and {high}, for {shown(stock.best, 'kg', 2)} of fish of "
        f"{shown(carrying.body, 'g', 2)} each. The {shown(carrying.feed, 'g/day', 2)} given now "
        f"are {IN_WORDS[carrying.verdict]}. The {LIMITS[carrying.limiting]} limits.{word}"
    )


IN_WORDS = {
    "carried": "carried even at the low end",
    "in doubt": "within the doubt",
    "too much": "too much even at the high end",
}
ACTIONS = {
    "carried": "enough for yours",
    "in doubt": "test before you feed more",
    "too much": "feed less",
}


def answer(carrying: Carrying) -> tuple[str, str]:
    """Give the highlighted number: the food it carries, and what to do."""
    food = shown(carrying.carried.best, "g/day", 2)
    return "This filter carries", f"{food} of food: {ACTIONS[carrying.verdict]}"


def carries_panel() -> Panel:
    """Return the first panel: the food each part of a filter carries."""
    controls: dict[str, Control] = {
        "media": Slider("Filter media", "filter_media", 0.1),
        "salinity": Slider("Salinity", "tank_salinity", 0.5),
        "feed": Slider("Food a day", "tank_feed", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "ammonia": Slider("Ammonia that may remain", "ammonia_allowed", 0.05),
        "flow": Slider("Flow through the media", "media_flow", 10.0),
        "exchange": Slider("Air exchange at the surface", "surface_exchange", 0.05),
        "dirt": Slider("Dirt held until cleaning", "dirt_until_cleaning", 5.0),
        "interval": Slider("Days between cleanings", "cleaning_interval", 1.0),
        "area_per_mass": Slider("Surface of a kilogram", "media_area_per_mass", 0.01),
        "pads": Slider("Surface of the pads", "pad_area", 0.1),
        "rock": Slider("Live rock", "rock_mass", 1.0, start=0.0),
        "body": Slider("Weight of one fish", "fish_weight", 0.1),
    }
    title = "What will this filter carry?"
    return Panel(title, controls, compute, WhatItCarries(), describe, answer)
