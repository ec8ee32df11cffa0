"""The panel of lesson 13: the filter as bought, beside the same trays filled by the learner."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from aqualib.filtration.media import media_kinds
from aqualib.lesson.charts.two_stacks import Stacks, TwoStacks
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.running_tank import running_tank
from aqualib.tank.inspection import as_bought, in_kg_and_lb, lines_of, remembered_outcome
from aqualib.tank.inspection.keep_or_not import days
from aqualib.tank.inspection.side_by_side import due_first
from aqualib.tank.plan import Filled, filled
from aqualib.tank.plan.parts import CARBON, NOTHING, PADS, SETTLING
from aqualib.tank.plan.trays import Place, fitting_mass
from aqualib.tank.sizing import LIMITS
from aqualib.units import from_si, shown

RINGS = running_tank().media
CHOICES = {name: name for name in (SETTLING, *PADS, RINGS, CARBON)} | {NOTHING: "empty"}
ADVICE = {
    "dirt": "make room for dirt",
    "surface": "add surface",
    "flow": "more flow",
    "filter_oxygen": "more flow",
    "tank_oxygen": "more air",
}
"""What limits -> what to do about it."""


@lru_cache(maxsize=1)
def bought() -> Filled:
    """Return the filter as it came out of its box."""
    return filled(as_bought())[0]


class Setting(NamedTuple):
    """The tank that both filters stand on, and how wide they are, in SI units."""

    food: float
    dirt: float
    width: float


def on(setting: Setting, whole: Filled) -> Filled:
    """Return a filter on another tank, or as wide; what no longer fits stays out."""
    floor = math.pi / 4.0 * setting.width**2
    places = tuple(
        place._replace(media=min(place.media, fitting_mass(place.holds, floor * place.height)))
        if place.media
        else place
        for place in whole.places
    )
    return whole._replace(
        feed=setting.food,
        solids=setting.dirt,
        width=setting.width,
        length=setting.width,
        floor=floor,
        places=places,
    )


def stacked(kinds: tuple[str, ...], media: float, whole: Filled) -> Filled:
    """Return the same trays with other things in them, and so many kg of rings."""
    places = []
    left = media
    for kind, place in zip(kinds, whole.places, strict=True):
        mass = 0.0
        if kind in media_kinds():
            mass = min(left, fitting_mass(kind, whole.floor * place.height))
            left -= mass
        places.append(Place(kind, place.height, mass))
    carbon = whole.carbon if CARBON in kinds else 0.0
    return whole.with_trays(places)._replace(carbon=carbon)


def compute(
    tray_1: str,
    tray_2: str,
    tray_3: str,
    tray_4: str,
    media: float,
    food: float,
    dirt: float,
    width: float,
) -> Stacks:
    """Run the filter as bought and as the learner stacks it, on one tank; SI numbers in."""
    box = on(Setting(food, dirt, width), bought())
    yours = stacked((tray_1, tray_2, tray_3, tray_4), media, box)
    does = remembered_outcome(yours)
    return Stacks(
        bought=box,
        yours=yours,
        carried=from_si(float(does.carried.feed.best), "g/day"),
        given=from_si(yours.feed, "g/day"),
        limiting=does.carried.limiting,
        lines=tuple(lines_of([box, yours])),
    )


def describe(stacks: Stacks) -> str:
    """Say what the picture shows."""
    does, was = remembered_outcome(stacks.yours), remembered_outcome(stacks.bought)
    order = ", ".join(_told(place) for place in stacks.yours.places)
    ends = (from_si(float(end), "g/day") for end in does.carried.feed)
    low, best, high = (shown(end, "g/day", 2) for end in ends)
    given = shown(stacks.given, "g/day", 2)
    before = shown(from_si(float(was.carried.feed.best), "g/day"), "g/day", 2)
    first = "nothing is due" if not does.first_due else f"{due_first(does)}, {days(does.due)}"
    return (
        f"Yours from the bottom: {order}. Of {given} of food it carries {best}, "
        f"from {low} to {high}: {LIMITS[does.carried.limiting]} limits. "
        f"Due first: {first}. As bought: {before}, {days(was.due)}."
    )


def _told(place: Place) -> str:
    mass = f" ({in_kg_and_lb(place.media)})" if place.media else ""
    return f"{CHOICES[place.holds]}{mass}"


def answer(stacks: Stacks) -> tuple[str, str]:
    """Give the highlighted number: the food that your stack carries, and what to do."""
    carried = shown(stacks.carried, "g/day", 2)
    act = "enough" if stacks.carried >= stacks.given else ADVICE[stacks.limiting]
    return f"Of {shown(stacks.given, 'g/day', 2)} it carries", f"{carried} · {act}"


def stack_panel() -> Panel:
    """Return the panel: trays to fill, as bought at the start."""
    whole = bought()
    controls: dict[str, Control] = {
        f"tray_{at}": Choice(
            f"Tray {at}{' (water enters here)' if at == 1 else ''}", CHOICES, place.holds
        )
        for at, place in enumerate(whole.places, start=1)
    }
    media = sum(place.media for place in whole.media)
    controls |= {
        "media": Slider("Rings in the filter", "stack_media", 0.1, start=media),
        "food": Slider("Food you give", "tank_feed", 0.1),
        "dirt": Slider("Dry solids the tank makes", "solids_made", 0.1),
        "width": Slider("Width of the filter", "filter_width", 1.0),
    }
    title = "As bought, and as you stack it"
    return Panel(title, controls, compute, TwoStacks(), describe, answer)
