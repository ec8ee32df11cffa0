"""The second panel of lesson 10: a portion of carbon in the loop, how full it is, what it does."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np

from aqualib.filtration.carbon import CarbonRun, freundlich_loading
from aqualib.filtration.carbon.loop import carbon_run
from aqualib.lesson.charts.filling_carbon import CarbonDay, Doubt, FillingCarbon, Portion
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import SECONDS_PER_DAY, from_si, number

DAYS = parameter("carbon_day").high
WEEK = 7.0 * SECONDS_PER_DAY


@lru_cache(maxsize=256)
def run_of(portion: Portion) -> CarbonRun:
    """Return the days of one portion, in SI base units: worked out once for each portion."""
    given = portion._asdict()
    # A weekly change, as if a little of it were done all the time.
    exchange = -math.log1p(-given.pop("change")) / WEEK
    return carbon_run.bare(**given, duration=DAYS * SECONDS_PER_DAY, exchange=exchange)


def compute(day: float, **portion: float) -> CarbonDay:
    """Follow the carbon to one day; SI numbers in."""
    put_in = Portion(**portion)
    run = run_of(put_in)
    now, without, loading = (
        float(np.interp(day, run.time, course))
        for course in (run.concentration, run.without, run.loading)
    )
    room, room_without = (
        put_in.mass * freundlich_loading.bare(water, put_in.capacity, put_in.exponent)
        for water in (now, without)
    )
    width = parameter("filter_width").bare
    bed = put_in.mass / put_in.bulk_density
    share = np.divide(run.concentration, run.without, out=np.ones_like(run.time),
                      where=run.without > 0.0)  # fmt: skip
    return CarbonDay(
        portion=put_in,
        grams=from_si(put_in.mass, "g"),
        flow=from_si(put_in.flow, "L/h"),
        day=from_si(day, "day"),
        depth=from_si(bed / (math.pi / 4.0 * width**2), "mm"),
        width=from_si(width, "mm"),
        contact=bed / put_in.flow,
        one_pass=from_si(run.one_pass, "percent"),
        days=from_si(run.time, "day"),
        tank=from_si(run.concentration, "mg/L"),
        without=from_si(run.without, "mg/L"),
        now=from_si(now, "mg/L"),
        now_without=from_si(without, "mg/L"),
        held=from_si(put_in.mass * loading, "mg"),
        room=from_si(float(room), "mg"),
        room_without=from_si(float(room_without), "mg"),
        full_on=from_si(run.full_on, "day"),
        halved_on=from_si(run.halved_on, "day"),
        gone_on=from_si(run.gone_on, "day"),
        best_change=from_si(1.0 - float(share.min()), "percent"),
    )


def with_doubt(carbon: CarbonDay) -> CarbonDay:
    """Return the result with two more runs: carbon that holds less, and more."""
    times = parameter("organics_capacity_doubt").value
    capacities = carbon.portion.capacity / times, carbon.portion.capacity * times
    less, more = (run_of(carbon.portion._replace(capacity=capacity)) for capacity in capacities)
    doubt = Doubt(
        from_si(less.concentration, "mg/L"),
        from_si(more.concentration, "mg/L"),
        from_si(less.halved_on, "day"),
        from_si(more.halved_on, "day"),
    )
    return replace(carbon, doubt=doubt)


def when(day: float) -> str:
    """Return when something is over, in words; infinite is later than the picture shows."""
    if not day:
        return "from the start"
    return f"by day {number(day, 2)}" if math.isfinite(day) else f"only after day {DAYS:.0f}"


def describe(carbon: CarbonDay) -> str:
    """Say what the picture shows."""
    text = (
        f"On day {number(carbon.day)} the tank has {number(carbon.now, 2)} mg/L of dissolved "
        f"organics, without carbon {number(carbon.now_without, 2)}. "
    )
    if not carbon.gone_on:
        return f"{text}So little carbon makes no difference to see."
    text += f"At best it did what changing {number(carbon.best_change, 2)} % of the water once does"
    if carbon.now > carbon.now_without:
        text += "; now it gives back what it took, and the water changes do more"
    doubt = carbon.doubt
    if doubt is None:
        return f"{text}."
    return (
        f"{text}. Carbon that holds less has lost half its effect {when(doubt.halved_less)}, "
        f"carbon that holds more {when(doubt.halved_more)}."
    )


def answer(carbon: CarbonDay) -> tuple[str, str]:
    """Give the highlighted number: the day by which the carbon's effect has halved."""
    if not carbon.gone_on:
        return "Effect of so little carbon", "none to see"
    if math.isinf(carbon.halved_on):
        return "Replace the carbon", when(carbon.halved_on)
    return "Replace the carbon", f"{when(carbon.halved_on)}, its effect has halved"


def carbon_panel() -> Panel:
    """Return the panel of carbon in the loop."""
    controls = {
        "mass": Slider("Carbon", "carbon_mass", 5.0),
        "flow": Slider("Flow through the carbon", "carbon_flow", 10.0),
        "production": Slider("Dissolved organics made", "organics_made", 1.0),
        "day": Slider("Days since it was put in", "carbon_day", 1.0),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "change": Slider("Water changed in a week", "weekly_change", 1.0),
        "initial": Slider("Dissolved organics at the start", "organics_at_start", 0.1),
        "capacity": Slider("What a gram holds at 1 mg/L (K)", "organics_capacity", 0.1),
        "exponent": Slider(
            "How much less it holds from clean water (1/n)", "organics_exponent", 0.05
        ),
        "rate": Slider("How fast carbon takes", "carbon_rate", 0.0005),
        "bulk_density": Slider("Density of loose carbon", "carbon_bulk_density", 10.0),
    }
    title, chart = "What does carbon do in the loop?", FillingCarbon(DAYS)
    return Panel(title, controls, compute, chart, describe, answer, with_doubt)
