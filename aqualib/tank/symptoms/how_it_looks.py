"""Cloudy white, green or yellow: which of the causes is it?"""

from __future__ import annotations

import math

from aqualib.filtration.capture import stokes_velocity
from aqualib.filtration.carbon import carbon_run
from aqualib.filtration.ultraviolet import lamp_kill_rate
from aqualib.tank.symptoms.how_much_at_once import in_small_steps, most_at_once
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.tank.symptoms.questions import Figure, Step, Worked, bare_of, line_of
from aqualib.tank.symptoms.what_comes_first import ammonia_first
from aqualib.tank.upkeep import changes_to_reach
from aqualib.units import SECONDS_PER_DAY

NONE = 0.0
A_TENTH = 0.1
"""Of the colour, or of the smell, that may remain when it is called thinned."""
WEEK = 7.0 * SECONDS_PER_DAY
LEAST_CARBON = 1e-9
"""A run asks for some carbon; no run is made for none."""


def cloudy_white(
    glass_clears: float,
    water: Water,
) -> Worked:
    """Ammonia first; then tell dust, which sinks in a glass, from bacteria, which do not."""
    first, figures = ammonia_first(water)
    grain, rock = bare_of("dust_grain"), bare_of("granite_density")
    sinks = float(stokes_velocity.bare(grain, rock, water.temperature, water.salinity))
    dust = Figure(bare_of("glass_depth") / sinks, "min")
    doubling = math.log(2.0) / bare_of("bloom_growth")
    figures |= {
        "minutes": Figure(glass_clears, "min"),
        "dust": dust,
        "grain": line_of("dust_grain"),
        "doubling": Figure(doubling, "h"),
        **in_small_steps(water, bare_of("change_share")),
    }
    return Worked((*first, Step(figures["minutes"], dust, below=True)), figures)


def changes_to_thin(water: Water) -> Figure:
    """Return how many of the largest calm changes thin a colour or a smell to a tenth."""
    return Figure(float(changes_to_reach.bare(A_TENTH, most_at_once(water)).whole))


def green(lamp: float, lamp_hours: float, flow: float, volume: float) -> Worked:
    """Tell a tank without a lamp from one whose lamp is too weak, too old or still at work."""
    rows = "sleeve_radius", "shell_radius", "water_transmittance"
    kills = lamp_kill_rate.bare(
        lamp, flow, volume, *(bare_of(row) for row in rows), "green_water", lamp_hours
    )
    growth = bare_of("green_water_growth")
    spare = float(kills.best) - growth
    killed, grows = (Figure(SECONDS_PER_DAY * rate) for rate in (float(kills.best), growth))
    clear = -math.log1p(-bare_of("cleared_share")) / spare if spare > 0.0 else math.inf
    figures = {
        "lamp": Figure(lamp, "W"),
        "killed": killed,
        "grows": grows,
        "doubling": Figure(math.log(2.0) / growth, "h"),
        "hours": Figure(lamp_hours, "h"),
        "life": line_of("lamp_life"),
        "clear": Figure(clear, "h"),
    }
    steps = (
        Step(figures["lamp"], Figure(NONE, "W"), below=True),
        Step(killed, grows, below=True),
        Step(figures["hours"], figures["life"]),
    )
    return Worked(steps, figures)


def yellow(
    carbon: float,
    carbon_day: float,
    weekly_change: float,
    volume: float,
    water: Water,
) -> Worked:
    """Ammonia first; then tell no carbon from spent carbon, or too little for its source."""
    first, figures = ammonia_first(water)
    exchange = -math.log1p(-weekly_change) / WEEK
    halved = math.inf
    if carbon > LEAST_CARBON:
        rows = "carbon_flow", "organics_made"
        given = carbon, *(bare_of(row) for row in rows), volume, bare_of("carbon_watched")
        run = carbon_run.bare(*given, bare_of("organics_at_start"), exchange=exchange)
        halved = float(run.halved_on)
    figures |= {
        "carbon": Figure(carbon, "g"),
        "day": Figure(carbon_day, "day"),
        "halved": Figure(min(halved, bare_of("carbon_watched")), "day"),
        "changes": changes_to_thin(water),
        **in_small_steps(water, bare_of("tonight_most_changed")),
    }
    steps = (
        *first,
        Step(figures["carbon"], Figure(NONE, "g"), below=True),
        Step(figures["day"], figures["halved"]),
    )
    return Worked(steps, figures)
