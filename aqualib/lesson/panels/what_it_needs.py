"""The second panel of lesson 07: the media that fish need, in fresh water and in the sea."""

from __future__ import annotations

import math

from aqualib.draws import Span
from aqualib.lesson.charts.media_needed import HeapsOfMedia, Needing, said_best
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.axes import scale
from aqualib.lesson.long_term_limit import warning
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.what_it_carries import plain_system
from aqualib.parameters import parameter
from aqualib.tank.load import daily_feed
from aqualib.tank.sizing import MediaNeeded
from aqualib.tank.sizing.needs import what_it_needs
from aqualib.units import display_unit, from_si, label, number, shown


def compute(
    stock: float,
    body: float,
    temperature: float,
    ammonia: float,
    ration: float,
    protein: float,
    area_per_mass: float,
    pads: float,
    flow: float,
    rock: float,
    volume: float,
) -> Needing:
    """Work out the media, fresh and marine; SI numbers in."""
    feed = float(daily_feed.bare(stock, body, temperature, ration))
    system = plain_system(
        body_mass=body,
        temperature=temperature,
        total_ammonia_nitrogen=ammonia,
        protein_fraction=protein,
        area_per_mass=area_per_mass,
        pad_area=pads,
        flow=flow,
        volume=volume,
    )
    sea = parameter("sea_salinity").bare
    # Live rock is a thing of marine tanks.
    waters = {
        "fresh": system,
        "marine": system._replace(salinity=sea, rock_mass=rock, ph=parameter("sea_ph").bare),
    }
    return Needing(
        stock=stock,
        ammonia=from_si(ammonia, "mg/L"),
        volume=from_si(volume, "L"),
        flow=from_si(flow, "L/h"),
        rock=rock,
        pads=pads,
        feed=from_si(feed, "g/day"),
        needed={water: in_litres(what_it_needs.bare(one, feed)) for water, one in waters.items()},
        # The sea has the stricter limit.
        warning=warning(ammonia, temperature, sea),
    )


def in_litres(needed: MediaNeeded) -> MediaNeeded:
    """Return the media needed with the volume in L in place of m³."""
    return needed._replace(volume=Span(*(from_si(end, "L") for end in needed.volume)))


def describe(needing: Needing) -> str:
    """Say what the picture shows."""
    ends = ", ".join(f"{water} {said(one.mass)}" for water, one in needing.needed.items())
    pads = f" beside {shown(needing.pads, 'm**2', 2)} of pads" if needing.pads else ""
    return (
        f"The fish eat {shown(needing.feed, 'g/day', 2)}. Media for that{pads}, with the doubt: "
        f"{ends}.{in_this_tank(needing)}"
    )


def in_this_tank(needing: Needing) -> str:
    """Say how much it is for the tank, and a word where media would be a good part of it."""
    volumes = {water: one.volume.best for water, one in needing.needed.items()}
    if max(volumes.values()) == math.inf:
        return " Where no amount does, the flow brings too little ammonia: more flow helps."
    most = parameter("media_share_of_tank").value * needing.volume
    absurd = [water for water, volume in volumes.items() if volume > most]
    if absurd:
        where = "In either water" if len(absurd) > 1 else absurd[0].capitalize()
        return f" {where}, so much is absurd beside this tank: feed less.{needing.warning}"
    if needing.warning:
        return needing.warning
    density = shown(100.0 * needing.needed["fresh"].mass.best / needing.volume, "kg/hL", 2)
    return f" Fresh, the middle guess is {density}."


def answer(needing: Needing) -> tuple[str, str]:
    """Give the highlighted number: kilograms, fresh and marine."""
    fresh, marine = (needing.needed[water].mass.best for water in ("fresh", "marine"))
    if fresh == marine == math.inf:
        return "Media needed", "no amount helps at this flow"
    return "Media needed", f"{said_best(fresh)} fresh, {said_best(marine)} marine"


def said(mass: Span) -> str:
    """Return the ends of a span of kilograms in words."""
    if not math.isfinite(mass.best):
        return "no amount"
    unit, factor = label(display_unit("kg")), scale("kg")
    low = number(factor * mass.low, 2)
    high = f"{number(factor * mass.high, 2)} {unit}" if math.isfinite(mass.high) else "no end"
    return f"{low} to {high}"


def needs_panel() -> Panel:
    """Return the second panel: the media that fish need."""
    controls: dict[str, Control] = {
        "stock": Slider("All fish together", "fish_stock", 0.02),
        "body": Slider("Weight of one fish", "fish_weight", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "ammonia": Slider("Ammonia that may remain", "ammonia_allowed", 0.05),
        "ration": Slider("Food over what holds the weight", "feeding_ration", 0.1),
        "protein": Slider("Protein in the food", "food_protein", 1.0),
        "area_per_mass": Slider("Surface of a kilogram", "media_area_per_mass", 0.01),
        "pads": Slider("Surface of the pads", "pad_area", 0.1),
        "flow": Slider("Flow through the media", "media_flow", 10.0),
        "rock": Slider("Live rock, marine tank", "rock_mass", 1.0, start=0.0),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
    }
    title = "How much media do my fish need?"
    return Panel(title, controls, compute, HeapsOfMedia(), describe, answer)
