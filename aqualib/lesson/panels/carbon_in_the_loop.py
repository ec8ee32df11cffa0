"""The second panel of lesson 08: a portion of carbon in the loop, how full it is, what it does."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.filtration.carbon import CarbonRun, freundlich_loading
from aqualib.filtration.carbon.loop import carbon_run
from aqualib.lesson.charts.filling_carbon import FillingCarbon
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import LITRES_PER_HOUR, SECONDS_PER_DAY, number, shown

DAYS = parameter("carbon_day").high
WEEK = 7.0 * SECONDS_PER_DAY
PER_LITRE = 1000.0
"""mg/L in one kg/m³."""


class Portion(NamedTuple):
    """A portion of carbon and its tank, all that a run rests on, in SI base units."""

    mass: float
    flow: float
    production: float
    volume: float
    initial: float
    capacity: float
    exponent: float
    rate: float
    bulk_density: float
    change: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """The tank if the carbon holds less, or more, than the K set."""

    capacities: tuple[float, float]
    """The lower and the higher K."""
    tank_less: Any
    tank_more: Any
    gone_less: float
    gone_more: float


@dataclass(frozen=True, slots=True)
class Filling:
    """Carbon on one day: g, L/h, mg, mg/L, mm, s, percent, days."""

    portion: Portion
    grams: float
    flow: float
    made: float
    day: float
    depth: float
    width: float
    contact: float
    one_pass: float
    days: Any
    tank: Any
    without: Any
    now: float
    now_without: float
    held: float
    room: float
    room_without: float
    full_on: float
    gone_on: float
    best_change: float
    doubt: Doubt | None = None

    @property
    def fullness(self) -> float:
        """What is held over what can be held in the water of this day, in percent."""
        return 100.0 * self.held / self.room if self.room > 0.0 else 0.0


@lru_cache(maxsize=256)
def run_of(portion: Portion) -> CarbonRun:
    """Return the days of one portion, in SI base units: worked out once for each portion."""
    given = portion._asdict()
    # A weekly change, as if a little of it were done all the time.
    exchange = -math.log1p(-given.pop("change")) / WEEK
    return carbon_run.bare(**given, duration=DAYS * SECONDS_PER_DAY, exchange=exchange)


def compute_filling(day: float, **portion: float) -> Filling:
    """Follow the carbon to one day; SI numbers in."""
    put_in = Portion(**portion)
    run = run_of(put_in)
    now, without, loading = (
        float(np.interp(day, run.time, course))
        for course in (run.concentration, run.without, run.loading)
    )
    room, room_without = (
        1e6 * put_in.mass * freundlich_loading.bare(water, put_in.capacity, put_in.exponent)
        for water in (now, without)
    )
    width = parameter("filter_width").bare
    bed = put_in.mass / put_in.bulk_density
    share = np.divide(run.concentration, run.without, out=np.ones_like(run.time),
                      where=run.without > 0.0)  # fmt: skip
    return Filling(
        portion=put_in,
        grams=1000.0 * put_in.mass,
        flow=put_in.flow * LITRES_PER_HOUR,
        made=1e6 * SECONDS_PER_DAY * put_in.production,
        day=day / SECONDS_PER_DAY,
        depth=1000.0 * bed / (math.pi / 4.0 * width**2),
        width=1000.0 * width,
        contact=bed / put_in.flow,
        one_pass=100.0 * run.one_pass,
        days=run.time / SECONDS_PER_DAY,
        tank=PER_LITRE * run.concentration,
        without=PER_LITRE * run.without,
        now=PER_LITRE * now,
        now_without=PER_LITRE * without,
        held=1e6 * put_in.mass * loading,
        room=float(room),
        room_without=float(room_without),
        full_on=run.full_on / SECONDS_PER_DAY,
        gone_on=run.gone_on / SECONDS_PER_DAY,
        best_change=100.0 * (1.0 - float(share.min())),
    )


def with_doubt(filling: Filling) -> Filling:
    """Return the result with two more runs: carbon that holds less, and more."""
    times = parameter("organics_capacity_doubt").value
    capacities = filling.portion.capacity / times, filling.portion.capacity * times
    less, more = (run_of(filling.portion._replace(capacity=capacity)) for capacity in capacities)
    doubt = Doubt(
        capacities,
        PER_LITRE * less.concentration,
        PER_LITRE * more.concentration,
        less.gone_on / SECONDS_PER_DAY,
        more.gone_on / SECONDS_PER_DAY,
    )
    return replace(filling, doubt=doubt)


def when(day: float) -> str:
    """Return when something is over, in words; infinite is later than the picture shows."""
    return f"by day {number(day, 2)}" if math.isfinite(day) else f"only after day {DAYS:.0f}"


def describe_filling(filling: Filling) -> str:
    """Say what the picture shows."""
    text = (
        f"{shown(filling.grams, 'g')} of carbon at {shown(filling.flow, 'L/h')}: the water is in "
        f"it for {number(filling.contact, 2)} s; fresh, it takes {number(filling.one_pass, 2)} % "
        f"each time. On day {number(filling.day)} the tank has {number(filling.now, 2)} mg/L, "
        f"without carbon {number(filling.now_without, 2)}. The carbon holds "
        f"{number(filling.held, 2)} mg, {number(filling.fullness, 2)} % of what it can in this "
        "water"
    )
    if math.isfinite(filling.full_on):
        text += f"; it was nearly full on day {number(filling.full_on, 2)}"
    if not filling.gone_on:
        return f"{text}. So little carbon makes no difference to see."
    text += (
        f". At best it did what changing {number(filling.best_change, 2)} % of the water once "
        f"would do. Its effect is gone {when(filling.gone_on)}"
    )
    doubt = filling.doubt
    if doubt is None:
        return f"{text}."
    least, most = doubt.capacities
    return (
        f"{text}; with a K of {number(least, 2)} {when(doubt.gone_less)}, with a K of "
        f"{number(most, 2)} {when(doubt.gone_more)}."
    )


def answer_filling(filling: Filling) -> tuple[str, str]:
    """Give the highlighted number: the day by which the carbon's effect is gone."""
    if not filling.gone_on:
        return "Effect of so little carbon", "none to see"
    doubt = filling.doubt
    if doubt is None or math.isinf(doubt.gone_less):
        return "Effect of the carbon gone", when(filling.gone_on)
    low = number(doubt.gone_less, 2)
    high = number(doubt.gone_more, 2) if math.isfinite(doubt.gone_more) else f"after {DAYS:.0f}"
    return "Effect of the carbon gone", f"{when(filling.gone_on)} ({low} to {high})"


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
        "capacity": Slider("K: load in mg/g at 1 mg/L", "organics_capacity", 0.1),
        "exponent": Slider("Exponent 1/n", "organics_exponent", 0.05),
        "rate": Slider("How fast carbon takes", "carbon_rate", 0.0005),
        "bulk_density": Slider("Density of loose carbon", "carbon_bulk_density", 10.0),
    }
    return Panel(
        "What does carbon do in the loop?",
        controls,
        compute_filling,
        FillingCarbon(DAYS),
        describe_filling,
        answer_filling,
        refine=with_doubt,
    )
