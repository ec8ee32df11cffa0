"""Nitrate does not fall, or the pH sinks: is it the habit, the tap, the alkalinity or the air?"""

from __future__ import annotations

import math

import numpy as np

from aqualib.tank.load import ammonia_production, nitrate_rise
from aqualib.tank.symptoms.ammonia_and_nitrite import soda_for
from aqualib.tank.symptoms.how_much_at_once import calm_share, in_small_steps
from aqualib.tank.symptoms.old_tank_trap import Water, air_of, gas
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.symptoms.what_comes_first import ammonia_first
from aqualib.tank.upkeep import after_water_changes, steady_peak
from aqualib.units import SECONDS_PER_DAY
from aqualib.water.carbonate import ph_at_equilibrium
from aqualib.water.nitrogen import as_nitrate

MOST_CHANGES = 400
"""How many changes are tried until a level is reached."""
LEAST_SHARE = 1e-3
"""Stands for no change at all, for which there is no level in the long run."""
WEEK = 7.0 * SECONDS_PER_DAY


def nitrate_stays(
    nitrate: float,
    tap_nitrate: float,
    change_share: float,
    change_interval: float,
    feed: float,
    volume: float,
    nitrate_limit: float,
    water: Water,
) -> Worked:
    """Ammonia first; then tell the tap, the habit and hidden dirt apart, and patience.

    The tap is to blame alone where the tank is hardly above it; and no habit holds the limit where
    the tap, and what food brings in a week, pass it: all the water of each week would not do.
    """
    first, figures = ammonia_first(water)
    made = ammonia_production.bare(feed, bare_of("food_protein"))
    daily = float(nitrate_rise.bare(made, volume))
    gain = daily * change_interval
    share = max(change_share, LEAST_SHARE)
    peak = Figure(float(steady_peak.bare(gain, share, tap_nitrate)), "mg/L")
    limit, room = Figure(nitrate_limit, "mg/L"), nitrate_limit - tap_nitrate
    wanted = max(change_share, bare_of("trap_change"))
    left = after_water_changes.bare(nitrate, 0.0, calm_share(water, wanted), tap_nitrate, 1)
    new = daily * volume / room if room > 0.0 else math.inf
    figures |= {
        "nitrate": Figure(nitrate, "mg/L"),
        "limit": limit,
        "tap": Figure(tap_nitrate, "mg/L"),
        "peak": peak,
        "much": Figure(bare_of("nitrate_unexplained") * peak.bare, "mg/L"),
        "as_ion": Figure(float(as_nitrate.bare(nitrate)), "mg/L"),
        "share": Figure(change_share, "percent"),
        **in_small_steps(water, wanted),
        "then": Figure(float(left), "mg/L"),
        "hardly": hardly_above(tap_nitrate, nitrate_limit),
        "rises": Figure(daily * WEEK, "mg/L"),
        "in_all": Figure(tap_nitrate + daily * WEEK, "mg/L"),
        "interval": Figure(change_interval, "day"),
        "water": Figure(new, "L/week"),
        "feed": Figure(feed, "g/day"),
        "food": Figure(feed * max(room, 0.0) / max(peak.bare - tap_nitrate, 1e-12), "g/day"),
        "changes": Figure(changes_until(nitrate_limit, nitrate, gain, share, tap_nitrate)),
    }
    steps = (
        *first,
        Step(figures["nitrate"], limit, below=True),
        Step(figures["nitrate"], figures["hardly"], below=True),
        Step(figures["in_all"], limit),
        Step(figures["nitrate"], figures["much"]),
        Step(peak, limit),
    )
    return Worked(steps, figures)


def hardly_above(tap_nitrate: float, limit: float) -> Figure:
    """Return up to where a change lowers nitrate too little to see, if the tap passes the limit."""
    times = bare_of("tap_near") if limit <= tap_nitrate else 1.0
    return Figure(times * tap_nitrate, "mg/L")


def changes_until(limit: float, start: float, gain: float, share: float, source: float) -> float:
    """Return after how many changes the peak is within the limit; no end if it never is."""
    counts = np.arange(1, MOST_CHANGES)
    peaks = after_water_changes.bare(start, gain, share, source, counts) + gain
    within = np.flatnonzero(peaks <= limit)
    return float(counts[within[0]]) if within.size else math.inf


def ph_sinks(
    volume: float,
    water: Water,
) -> Worked:
    """Ammonia first; then tell spent alkalinity from stale air."""
    first, figures = ammonia_first(water)
    at_rest = ph_at_equilibrium.bare(water.alkalinity, *air_of(water))
    figures |= {
        "gas": Figure(gas(water), "mg/L"),
        "stale": line_of("stale_carbon_dioxide"),
        "in_air": Figure(float(at_rest)),
        **soda_for(water, volume),
    }
    steps = (
        *first,
        Step(figures["alkalinity"], figures["short"], below=True),
        Step(figures["gas"], figures["stale"]),
    )
    return Worked(steps, figures)
