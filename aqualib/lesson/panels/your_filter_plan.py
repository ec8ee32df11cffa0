"""The panel of lesson 15: a whole system under four sliders, and its changes, the best first."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache, partial

from aqualib.draws import Span
from aqualib.lesson.charts.ranked_changes import Effect, RankedChanges, Ranking
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.handout.ranked import worth
from aqualib.lesson.panel import Panel
from aqualib.lesson.whose_tank import system_in_use
from aqualib.parameters import parameter
from aqualib.tank.plan import (
    Filled,
    Outcome,
    System,
    filled,
    gains,
    outcome,
    ranked_changes,
    verdict_on,
)
from aqualib.tank.plan.other_trays import own_kind
from aqualib.tank.plan.trays import Place, fitting_mass
from aqualib.tank.plan.what_it_does import (
    carries,
    counted_flow,
    flows,
    media_surface,
    nitrate_peak,
    pad_surface,
)
from aqualib.tank.sizing import LIMITS
from aqualib.units import SECONDS_PER_DAY, from_si, number, shown

NOW = "as it is now"
ACTIONS = {
    "comfortable": "leave it as it is",
    "tight": "feed no more, and test",
    "too much": "feed less, or change it",
}


def compute(system: System | None, **values: float) -> Ranking:
    """Work out the plan so far of a system, or of the tank in use, under the hand; SI numbers."""
    base, held = known(system or system_in_use())
    return so_far(moved(base, **values), held)


def moved(
    base: Filled, feed: float, media: float, interval: float, temperature: float, change: float
) -> Filled:
    """Return a system with other food, media, days, warmth and water changes; SI numbers.

    Dirt goes with the food. Media that no longer fit raise their trays.
    """
    share = feed / base.feed if base.feed else 1.0
    return base._replace(
        feed=feed,
        solids=base.solids * share,
        places=with_media(base, media),
        clean_every=interval,
        temperature=temperature,
        change=change,
    )


def with_media(base: Filled, media: float) -> tuple[Place, ...]:
    """Return the trays with so many kilograms of media in all, shared out as they were."""
    before = sum(place.media for place in base.media)
    places = base.places if before else (*base.places, Place(own_kind(base), LEAST_HEIGHT, 1.0))
    of_one = media / (before or 1.0)
    return tuple(_filled_with(base, place, place.media * of_one) for place in places)


LEAST_HEIGHT = 1e-3
"""Of a tray that was not there, in m: what goes in raises it."""


def _filled_with(base: Filled, place: Place, media: float) -> Place:
    if not place.media:
        return place
    needed = media / fitting_mass(place.holds, base.floor)
    return place._replace(media=media, height=max(place.height, needed))


def so_far(whole: Filled, held: float) -> Ranking:
    """Work out what a system carries while a hand moves: all but the weeks of dirt.

    `held` is the dirt that the filter holds when it is due, which hardly moves.
    """
    due_flow = counted_flow(whole, flows(whole)[1])
    found = carries(whole, media_surface(whole), pad_surface(whole), due_flow, held)
    feed = Span(*(from_si(end, "g/day") for end in found.feed))
    nitrate = from_si(nitrate_peak(whole), "mg/L")
    given = from_si(whole.feed, "g/day")
    return Ranking(
        given=given,
        carried=feed,
        verdict=verdict_on(given, feed),
        limiting=found.limiting,
        now=Effect(NOW, "", feed.best, math.nan, nitrate),
        changes=(),
        ranked=False,
        whole=whole,
    )


def with_changes(ranking: Ranking) -> Ranking:
    """Add the weeks of dirt and the ranked changes, each by running the whole system again."""
    now = outcome(ranking.whole)
    changes = ranked_changes(ranking.whole, now)
    feed = Span(*(from_si(end, "g/day") for end in now.carried.feed))
    return replace(
        ranking,
        carried=feed,
        verdict=verdict_on(ranking.given, feed),
        limiting=now.carried.limiting,
        now=effect(NOW, "", now),
        changes=tuple(effect(c.name, worth_in_short(now, c.after), c.after) for c in changes),
        ranked=True,
        gains=bool(changes) and gains(now, changes[0].after).any,
    )


def effect(name: str, what: str, found: Outcome) -> Effect:
    """Return what a system comes to, in the units of the picture."""
    return Effect(
        name,
        what,
        from_si(found.carried.feed.best, "g/day"),
        found.due / SECONDS_PER_DAY,
        from_si(found.nitrate_peak, "mg/L"),
    )


def worth_in_short(now: Outcome, after: Outcome) -> str:
    """Return whether a change gains anything, in two words; the bars tell the rest."""
    words = worth(now, after)
    return "" if not words.startswith("nothing gained") else words.partition(";")[0]


def describe(ranking: Ranking) -> str:
    """Say what the picture shows."""
    low, best, high = (number(end, 2) for end in ranking.carried)
    given = shown(ranking.given, "g/day", 2)
    first = (
        f"The filter carries {best} g a day ({low} to {high}) and gets {given}: "
        f"{ranking.verdict}. The {LIMITS[ranking.limiting]} limits."
    )
    if not ranking.ranked:
        return f"{first} The changes are ranked when you let go."
    return f"{first} {_best(ranking)}"


def _best(ranking: Ranking) -> str:
    if not ranking.gains:
        return "None of the changes gains anything."
    one, now = ranking.changes[0], ranking.now
    moves = [
        f"{name} {number(old, 2)} → {number(new, 2)}{unit}"
        for name, old, new, unit in (
            ("food carried", now.food, one.food, " g a day"),
            ("cleaning after", now.days, one.days, " days"),
            ("nitrate", now.nitrate, one.nitrate, " mg/L"),
        )
        if math.isfinite(old) and math.isfinite(new) and number(old, 2) != number(new, 2)
    ]
    what = f": {', '.join(moves)}" if moves else ""
    return f"What buys most is “{one.name}”{what}."


def answer(ranking: Ranking) -> tuple[str, str]:
    """Give the highlighted answer: the verdict, and what to do."""
    food = f"{number(ranking.carried.best, 2)} g/day carried"
    return ranking.verdict.capitalize(), f"{food}: {ACTIONS[ranking.verdict]}"


@lru_cache(maxsize=4)
def known(system: System) -> tuple[Filled, float]:
    """Return a system's numbers, and the dirt that its filter holds when it is due."""
    base = filled(system)[0]
    return base, outcome(base).dirt_held


def plan_panel(system: System | None = None) -> Panel:
    """Return the panel: the plan of the tank in use, or that of a system, under the hand."""
    controls = sliders() if system is None else sliders_at(known(system)[0])
    title = "The whole answer, and what would change it"
    under_hand = partial(compute, system)
    return Panel(title, controls, under_hand, RankedChanges(), describe, answer, with_changes)


SLIDERS = {
    "feed": ("Food a day", "tank_feed", 0.1),
    "media": ("Filter media", "filter_media", 0.1),
    "interval": ("Days between cleanings", "cleaning_interval", 1.0),
    "temperature": ("Temperature", "tested_temperature", 0.5),
    "change": ("Water changed each time", "change_share", 5.0),
}


def sliders() -> dict[str, Control]:
    """Return the sliders, which open on the tank in use."""
    return {name: Slider(*parts) for name, parts in SLIDERS.items()}


def sliders_at(base: Filled) -> dict[str, Control]:
    """Return the sliders at the numbers of a system; their ends make room for them."""
    numbers = {
        "feed": base.feed,
        "media": sum(place.media for place in base.media),
        "interval": base.clean_every,
        "temperature": base.temperature,
        "change": base.change,
    }
    found: dict[str, Control] = {}
    for name, (label, row, step) in SLIDERS.items():
        one = parameter(row)
        start = from_si(numbers[name], one.unit)
        found[name] = Slider(label, row, step, start, (min(one.low, start), max(one.high, start)))
    return found
