"""The panel of careful cleaning: what ammonia and nitrite do when a part of the media is washed."""

from __future__ import annotations

import math
from dataclasses import replace

from aqualib.lesson.charts.after_cleaning import LOOKS, AfterCleaning, Aftermath
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.maturation import Scenario, simulate
from aqualib.tank.maturation.scenario import Cleaning
from aqualib.tank.upkeep import largest_safe_cleaning
from aqualib.units import SECONDS_PER_DAY, Q, from_si, number
from aqualib.validity import ValidityError

PROTEIN = parameter("food_protein").bare
WATCHED = parameter("watched_after_cleaning").value
"""Days after the cleaning that are shown and judged."""


def compute(
    share: float,
    feed: float,
    temperature: float,
    nitrite: float,
    ammonia: float,
    volume: float,
    surface: float,
) -> Aftermath:
    """Let a full filter settle to its food, clean a share of it, and watch; SI numbers in."""
    run_in = parameter("run_in_before_cleaning").value
    scenario = Scenario.from_bare(
        volume=volume,
        media_area=surface,
        load=ammonia_production.bare(feed, PROTEIN),
        seed=1.0,
        temperature=temperature,
        days=(run_in + WATCHED) * SECONDS_PER_DAY,
        events=(Cleaning(Q(run_in, "day"), share),),
    )
    cleaned = simulate(scenario).course
    late = cleaned.time >= run_in
    return Aftermath(
        scenario=scenario,
        share=from_si(share, "percent"),
        limits={"ammonia": from_si(ammonia, "mg/L"), "nitrite": from_si(nitrite, "mg/L")},
        days=cleaned.time[late] - run_in,
        ammonia=cleaned.state.ammonia[late],
        nitrite=cleaned.state.nitrite[late],
    )


def with_largest(result: Aftermath) -> Aftermath:
    """Return the result with the largest whole percent that keeps both limits."""
    limit, other = (Q(result.limits[name], "mg/L") for name in LOOKS)
    try:
        share = largest_safe_cleaning(result.ripe, limit, nitrite_limit=other)
    except ValidityError:
        # A limit is passed even without cleaning.
        return replace(result, largest=math.nan, food_helps=least_food_keeps_limits(result))
    return replace(result, largest=float(math.floor(100.0 * share)))


def least_food_keeps_limits(result: Aftermath) -> bool:
    """Return whether a tank with the least food of the slider keeps both limits in the end."""
    row = parameter("tank_feed")
    least = row.to_base(row.low)
    hungry = result.ripe.with_bare(load=float(ammonia_production.bare(least, PROTEIN)))
    state = simulate(hungry).course.state
    return all(getattr(state, name)[-1] <= result.limits[name] for name in LOOKS)


def describe(result: Aftermath) -> str:
    """Say what the picture shows."""
    peaks = " and ".join(
        f"{name} reaches {number(result.highest(name)[0], 2)} mg N/L, "
        f"{'above' if result.passes(name) else 'within'} your limit of "
        f"{number(result.limits[name], 2)}"
        for name in LOOKS
    )
    return (
        f"In the {WATCHED:.0f} days after {number(result.share)} % were cleaned {peaks}."
        f"{safe_share(result)}"
    )


def safe_share(result: Aftermath) -> str:
    """Say what to do where a limit is passed without any cleaning."""
    if result.largest is None or not math.isnan(result.largest):
        return ""
    start = " A limit is passed even without cleaning:"
    if not result.food_helps:
        return f"{start} this much surface leaves more at any food. Set a higher one, or add media."
    return f"{start} feed less, or add media and let them ripen."


def answer(result: Aftermath) -> tuple[str, str]:
    """Give the highlighted answer: the share that may be cleaned at once."""
    what, largest = "Clean at once", result.largest
    passed = any(result.passes(name) for name in LOOKS)
    if largest is None:
        return what, "less than this" if passed else "this is within your limits"
    if math.isnan(largest):
        return what, "nothing now: the water is above your limit already"
    return what, f"no more than {largest:.0f} %" if passed else f"up to {largest:.0f} %"


def cleaning_panel() -> Panel:
    """Return the panel of careful cleaning."""
    controls = {
        "share": Slider("Media cleaned at once", "cleaned_share", 1.0),
        "feed": Slider("Food in a day", "tank_feed", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "nitrite": Slider("Your limit for nitrite, as N", "nitrite_allowed", 0.01),
        "ammonia": Slider("Your limit for ammonia, as N", "ammonia_after_cleaning", 0.01),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "surface": Slider("Working surface, pads and media", "media_surface", 0.1),
    }
    title = "How much may I clean at once?"
    return Panel(title, controls, compute, AfterCleaning(), describe, answer, with_largest)
