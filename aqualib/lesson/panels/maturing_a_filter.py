"""The panel of lesson 03: how long until a filter is safe, and what speeds or slows it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from aqualib.lesson.charts.maturation import MaturationCurves, Run
from aqualib.lesson.controls import Choice, Control, Slider, Tick
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.maturation import Scenario, bands, simulate
from aqualib.tank.maturation.forecast import Bands
from aqualib.tank.maturation.scenario import Binder, Ultraviolet
from aqualib.units import SECONDS_PER_DAY, Q, from_si, number

DAYS = parameter("weeks_ahead").value
PROTEIN = parameter("food_protein").bare
BINDER_DAYS = parameter("binder_days").value
SETS = 300
"""Runs behind a band in the panel; the lesson shows what more of them change."""

SEED_WORDS = {
    "drift": "nothing but what drifts in",
    "squeeze": "a squeeze of a ripe sponge",
    "handful": "a handful of ripe media",
    "third": "a third of a ripe filter",
}
SEEDS = {seed: (words, parameter(f"seed_{seed}").value) for seed, words in SEED_WORDS.items()}
"""What the learner reads of a seed, and its share of a full film."""
LAMP_ON = {"start": 0.0, "later": parameter("lamp_on_later").value}
LAMP = {"off": "off", "start": "on from the start", "later": f"on from day {LAMP_ON['later']:.0f}"}


def scenario_for(
    seed: str,
    feed: float,
    temperature: float,
    salinity: float,
    volume: float,
    surface: float,
    ph: float,
    binder: bool,
    lamp: str,
) -> Scenario:
    """Return the tank that the controls describe; SI numbers in."""
    events: list[Any] = []
    if binder:
        share = parameter("binder_share").value
        events.append(Binder(Q(0.0, "day"), share=share, duration=Q(BINDER_DAYS, "day")))
    if lamp in LAMP_ON:
        events.append(Ultraviolet(Q(LAMP_ON[lamp], "day")))
    return Scenario.from_bare(
        volume=volume,
        media_area=surface,
        load=ammonia_production.bare(feed, PROTEIN),
        seed=SEEDS[seed][1],
        temperature=temperature,
        salinity=salinity,
        ph=ph,
        days=DAYS * SECONDS_PER_DAY,
        events=tuple(events),
    )


def compute(**values: Any) -> Run:
    """Run the tank once, with the best value of every parameter."""
    scenario = scenario_for(**values)
    result = simulate(scenario)
    state, time = result.course.state, result.course.time
    above = np.flatnonzero(state.ammonia > result.safety.ammonia_limit)
    return Run(
        scenario=scenario,
        celsius=from_si(values["temperature"], "degC"),
        load=from_si(float(ammonia_production.bare(values["feed"], PROTEIN)), "mg/day"),
        litres=from_si(values["volume"], "L"),
        time=time,
        ammonia=state.ammonia,
        nitrite=state.nitrite,
        nitrate=state.nitrate,
        ready=float(result.ready_day),
        ammonia_falls=float(time[above[-1]]) if len(above) else 0.0,
        why=result.why_not_ready,
        never=result.why_never,
    )


def with_band(run: Run) -> Run:
    """Return the run with its band: many runs over the parameters' ranges."""
    return replace(run, band=bands(run.scenario, sets=SETS))


def day(value: float) -> str:
    """Return a day as words; infinite is later than the picture shows."""
    return f"day {value:.0f}" if np.isfinite(value) else f"later than day {DAYS:.0f}"


def describe(run: Run) -> str:
    """Say what the picture shows."""
    peaks = [
        f"{number(level.max(), 2)} mg N/L on {day(run.time[level.argmax()])}"
        for level in (run.ammonia, run.nitrite)
    ]
    text = f"Ammonia peaks at {peaks[0]}, nitrite at {peaks[1]}. "
    if np.isfinite(run.ready):
        text += f"Safe from {day(run.ready)}"
        text += f"; before, {run.why}" if run.why else ""
    elif run.never:
        text += f"Not safe by {day(DAYS)}, and more days would not help: {run.never}"
    else:
        text += f"Not safe by {day(DAYS)}: {run.why}"
    return f"{text}.{doubt(run.band)}"


def doubt(band: Bands | None) -> str:
    """Say how far the answer may be off, from the runs with other plausible bacteria."""
    if band is None:
        return ""
    low, middle, high = band.ready
    share = f"{number(100 * band.share_ready, 2)} %"
    if not np.isfinite(low):
        return f" Of runs with other plausible bacteria {share} are safe by {day(DAYS)}."
    text = f" Of runs with other plausible bacteria one in twenty is safe by {day(low)}"
    if np.isfinite(middle):
        text += f", half by {day(middle)}"
    if np.isfinite(high):
        return text + f", nineteen in twenty by {day(high)}."
    return text + f"; {share} by {day(DAYS)}."


def answer(run: Run) -> tuple[str, str]:
    """Give the highlighted number: the first day that stays safe."""
    if not np.isfinite(run.ready):
        return f"After {DAYS / 7:.0f} weeks:", "still not safe"
    return "Safe from about", day(run.ready)


def maturation_panel() -> Panel:
    """Return the panel of lesson 03."""
    controls: dict[str, Control] = {
        "seed": Choice("Seed", SEED_WORDS, "squeeze"),
        "feed": Slider("Food a day (or the ammonia it makes)", "tank_feed", 0.1),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "surface": Slider("Working surface, pads and media", "media_surface", 0.1),
        "ph": Slider("pH", "tank_ph", 0.1),
        "binder": Tick("Ammonia binder for four weeks (contested)", start=False),
        "lamp": Choice("Ultraviolet lamp", LAMP, "off"),
    }
    title = "How long until it is safe?"
    return Panel(title, controls, compute, MaturationCurves(), describe, answer, with_band)
