"""Would new water, soda or air poison this tank, because it lifts the pH of water with ammonia?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.symptoms.questions import Figure, Step, bare_of
from aqualib.water.ammonia import (
    PRINTED_PH,
    Limits,
    total_ammonia_limits,
    unionised_ammonia_nitrogen,
)
from aqualib.water.carbonate import carbon_dioxide, ph_at_equilibrium

STEP = 0.05
"""By how much a share is made larger while it is not safe; no more than a sum can tell apart."""


class Water(NamedTuple):
    """What decides whether a change of pH is safe, in SI base units."""

    ammonia: float
    ph: float
    alkalinity: float
    tap_alkalinity: float
    temperature: float
    salinity: float


class After(NamedTuple):
    """A tank's water when something was done to it and it has stood in the air of a room."""

    left: float
    ph: float
    poison: float
    """The un-ionised part of the ammonia."""
    limit: float
    """Of total ammonia, for the long term, at this pH."""


def as_it_is(water: Water) -> After:
    """Return the water before anything is done."""
    return _at(water, water.ammonia, water.ph)


def after_change(water: Water, share: float) -> After:
    """Return the water when a share of it was changed, for water that holds no ammonia."""
    mixed = water.alkalinity + share * (water.tap_alkalinity - water.alkalinity)
    return _in_air(water, (1.0 - share) * water.ammonia, mixed)


def after_soda(water: Water) -> After:
    """Return the water when soda has brought it to the alkalinity that is held; nothing thins."""
    held = sea_or_fresh("alkalinity_held", water.salinity)
    return _in_air(water, water.ammonia, max(water.alkalinity, held))


def after_air(water: Water) -> After:
    """Return the water when stirring has driven its carbon dioxide out."""
    return _in_air(water, water.ammonia, water.alkalinity)


def _in_air(water: Water, ammonia: float, alkalinity: float) -> After:
    """Return the water in the air of a room; it is not counted on to lower the pH."""
    at_rest = float(ph_at_equilibrium.bare(alkalinity, *air_of(water)))
    return _at(water, ammonia, max(water.ph, at_rest))


def air_of(water: Water) -> tuple[float, float, float]:
    """Return what the air of a room makes of the pH: warmth, salt, its carbon dioxide."""
    return water.temperature, water.salinity, bare_of("room_carbon_dioxide")


def _at(water: Water, ammonia: float, ph: float) -> After:
    poison = unionised_ammonia_nitrogen.bare(ammonia, ph, water.temperature, water.salinity)
    return After(ammonia, ph, float(poison), float(limits_at(ph, water).chronic))


def harms(before: After, after: After) -> bool:
    """Return whether it ends above the long-term limit, and is made worse by what was done.

    Water that was within its limit may not be lifted above it at all; in water that was above it
    already, the poison may grow by no more than the row `trap_ratio`.
    """
    within = before.left <= before.limit
    most = before.poison * (1.0 if within else bare_of("trap_ratio"))
    return after.left > after.limit and after.poison > most


def trap(water: Water) -> tuple[Step, dict[str, Figure]]:
    """Return the question whether the tank is trapped, and the numbers before and after.

    It is, where half new water harms; and, within its limit as it is, where the soda that it is
    short of harms, or the air that its carbon dioxide asks for.
    """
    half = bare_of("tonight_most_changed")
    before, first = as_it_is(water), after_change(water, half)
    found = next((after for after in _tried(water, before) if harms(before, after)), None)
    after = found or first
    limit = Figure(after.limit, "mg/L")
    left = Figure(after.left, "mg/L")
    figures = {
        "ammonia": Figure(water.ammonia, "mg/L"),
        "ph": Figure(water.ph),
        "alkalinity": Figure(water.alkalinity, "mg/L"),
        "half": Figure(half, "percent"),
        "tenth": Figure(bare_of("trap_change"), "percent"),
        "lifted": Figure(after.ph),
        "left": left,
        "harmful": Figure(before.poison, "mg/L"),
        "harmful_then": Figure(after.poison, "mg/L"),
        "limit_then": limit,
    }
    # A change that hardly makes the water worse is no trap, however much ammonia it leaves.
    line = limit if found else Figure(max(left.bare, limit.bare), "mg/L")
    return Step(left, line), figures


def _tried(water: Water, before: After) -> Iterator[After]:
    """Give the water after each thing that a tree might tell a keeper to do."""
    yield after_change(water, bare_of("tonight_most_changed"))
    if before.left > before.limit:
        return  # too much as it is: its water is changed, and neither soda nor air is the cure
    if water.alkalinity <= sea_or_fresh("alkalinity_short", water.salinity):
        yield after_soda(water)
    if gas(water) > bare_of("stale_carbon_dioxide"):
        yield after_air(water)


def safe_share(water: Water, wanted: float) -> float:
    """Return the least share, from what is wanted to half, that lifts no ammonia over its limit.

    A small change thins little and may lift the pH nearly as much as a large one.
    """
    most, before = bare_of("tonight_most_changed"), as_it_is(water)
    wanted = min(max(wanted, 0.0), most)
    if wanted == 0.0:
        return 0.0
    shares = np.append(np.arange(wanted, most, STEP), most)
    return next(
        (float(x) for x in shares if not harms(before, after_change(water, float(x)))), most
    )


def gas(water: Water) -> float:
    """Return the carbon dioxide in the water."""
    about = water.temperature, water.salinity
    return max(float(carbon_dioxide.bare(water.ph, water.alkalinity, *about)), 0.0)


def sea_or_fresh(row: str, salinity: float) -> float:
    """Return a row's value for this salinity: that of fresh water, of the sea, or between them."""
    return towards_sea(parameter(row).bare, parameter(f"{row}_sea").bare, salinity)


def towards_sea(fresh: float, sea: float, salinity: float) -> float:
    """Return what lies between fresh water and the sea, in a straight line of salinity."""
    return fresh + (sea - fresh) * min(salinity / bare_of("sea_salinity"), 1.0)


def limits_at(ph: float, water: Water) -> Limits:
    """Return the limits of total ammonia, as nitrogen; above the last printed pH, those of it."""
    printed = min(ph, PRINTED_PH.high)
    limits: Limits = total_ammonia_limits.bare(printed, water.temperature, water.salinity)
    return limits
