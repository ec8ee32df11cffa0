"""The panel of lesson 04: a filter whose stages the learner puts in order, filling with dirt."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.capture import (
    ClogRun,
    Pad,
    SettlingSpace,
    pad,
    settling_space,
    size_classes,
)
from aqualib.filtration.capture.run import clog_run, sinking_speeds
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.lesson.charts.filling_filter import FillingFilter
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.flow_and_head import KELVIN, Loop
from aqualib.parameters import parameter
from aqualib.units import LITRES_PER_HOUR, SECONDS_PER_DAY, Q, number, shown

GRAM = 1e-3
STEPS = 60
TRAYS = 3
START = ("coarse", "medium", "fine")
PADS = {
    "empty": "empty",
    "coarse": "coarse pad",
    "medium": "medium pad",
    "fine": "fine pad",
}


@dataclass(frozen=True, slots=True)
class Stack:
    """A filter: what lies in its trays from the bottom up, and its sizes in SI base units."""

    trays: tuple[str, ...]
    production: float
    width: float
    depth: float
    settling: float

    @property
    def area(self) -> float:
        """The floor of the round filter, in m²."""
        return math.pi / 4.0 * self.width**2


@lru_cache(maxsize=128)
def inside(stack: Stack) -> tuple[Pad | SettlingSpace, ...]:
    """Return the settling space and the pads, in the water's order; empty trays hold nothing."""
    area, depth = Q(stack.area, "m**2"), Q(stack.depth, "m")
    pads = [pad(grade, area, depth) for grade in stack.trays if grade != "empty"]
    return settling_space(area, Q(stack.settling, "m")), *pads


@dataclass(frozen=True, slots=True)
class Stage:
    """What one place of the filter holds: grams, share of its limit, share of its room."""

    grade: str
    grams: float
    fullness: float
    filled: float


@dataclass(frozen=True, slots=True)
class Filling:
    """A filter on one day: lengths in mm, time in days, flow in L/h, suspended solids in mg/L."""

    stack: Stack
    stages: tuple[Stage, ...]
    width: float
    settling: float
    depth: float
    production: float
    day: float
    days: Any
    flows: Any
    flow: float
    suspended: float
    one_pass: float
    due: float
    cause: str
    caught_when_due: float

    @property
    def caught(self) -> float:
        """The dirt in the whole filter on the day, in g."""
        return sum(stage.grams for stage in self.stages)


@lru_cache(maxsize=1)
def particles() -> tuple[Any, Any]:
    """Return the size classes and how fast each of them sinks."""
    sizes = size_classes()
    return sizes, sinking_speeds(sizes, KELVIN)


@lru_cache(maxsize=128)
def weeks(stack: Stack) -> ClogRun:
    """Return half a year of one filter, in SI base units: worked out once for each stack."""
    sizes, sinking = particles()
    box = parameter("pump_rated_head").bare, parameter("pump_rated_flow").bare
    bore, length, elbows = (
        parameter(name).bare for name in ("hose_bore", "hose_length", "hose_elbows")
    )
    return clog_run.bare(
        inside(stack),
        PumpCurve(box[0], box[1]),
        [Loop(bore, length, elbows, 0.0).plumbing],
        stack.production,
        parameter("tank_volume").bare,
        parameter("filter_day").high * SECONDS_PER_DAY,
        KELVIN,
        sizes=sizes,
        sinking=sinking,
        steps=STEPS,
    )


def held(run: ClogRun, seconds: float) -> Any:
    """Return the dirt in kg in each stage at a time, on straight lines between the steps."""
    mass = run.mass.sum(axis=-1)
    at = min(seconds, run.time[-1]) / run.time[1]
    before = min(int(at), len(run.time) - 2)
    return mass[before] + (at - before) * (mass[before + 1] - mass[before])


def compute_filling(
    tray_1: str,
    tray_2: str,
    tray_3: str,
    day: float,
    production: float,
    width: float,
    depth: float,
    settling: float,
) -> Filling:
    """Look at one day of a filter's half-year; SI numbers in."""
    trays = (tray_1, tray_2, tray_3)
    stack = Stack(trays, production, width, depth, settling)
    run, (sizes, _) = weeks(stack), particles()
    passing = np.prod(1.0 - run.efficiency, axis=0)
    return Filling(
        stack=stack,
        stages=tuple(places(stack, run, day)),
        width=1000.0 * width,
        settling=1000.0 * settling,
        depth=1000.0 * depth,
        production=production * SECONDS_PER_DAY / GRAM,
        day=day / SECONDS_PER_DAY,
        days=run.time / SECONDS_PER_DAY,
        flows=run.flow * LITRES_PER_HOUR,
        flow=float(np.interp(day, run.time, run.flow) * LITRES_PER_HOUR),
        suspended=float(np.interp(day, run.time, run.suspended) / GRAM),
        one_pass=float(1.0 - passing @ np.asarray(sizes.mass_shares)),
        due=run.cleaning_due / SECONDS_PER_DAY,
        cause=cause(trays, run),
        caught_when_due=float(held(run, run.cleaning_due).sum() / GRAM),
    )


def places(stack: Stack, run: ClogRun, seconds: float) -> list[Stage]:
    """Return what the settling space and each tray holds, from the bottom up."""
    loads = iter(zip(inside(stack), held(run, seconds), strict=True))
    found = []
    for grade in ("settling space", *stack.trays):
        if grade == "empty":
            found.append(Stage(grade, 0.0, 0.0, 0.0))
            continue
        stage, mass = next(loads)
        share = mass / stage.capacity, mass / stage.room
        found.append(Stage(grade, float(mass / GRAM), *map(float, share)))
    return found


def cause(trays: tuple[str, ...], run: ClogRun) -> str:
    """Return in words what calls for cleaning."""
    if run.ended_by in {"", "flow"}:
        return {"": "", "flow": "the flow is down to half"}[run.ended_by]
    place = run.stages.index(run.ended_by)
    if not place:
        return "the settling space is full"
    tray = [at for at, grade in enumerate(trays, start=1) if grade != "empty"][place - 1]
    return f"the {trays[tray - 1]} pad in tray {tray} is full"


def describe_filling(filling: Filling) -> str:
    """Say what the picture shows."""
    loads = ", ".join(
        f"{stage.grade if at == 0 else f'tray {at} ({stage.grade})'} {shown(stage.grams, 'g')}"
        for at, stage in enumerate(filling.stages)
        if stage.grade != "empty"
    )
    until = (
        f"No cleaning is due within {number(filling.days[-1])} days"
        if math.isinf(filling.due)
        else f"Cleaning is due on day {number(filling.due, 2)}, when {filling.cause} and "
        f"{shown(filling.caught_when_due, 'g')} are held"
    )
    return (
        f"Day {number(filling.day)}, at {shown(filling.production, 'g/day')} of dry solids, in a "
        f"filter {shown(filling.width / 10.0, 'cm')} wide: {loads}. "
        f"{shown(filling.flow, 'L/h')} flow, and {number(filling.suspended, 2)} mg/L are in the "
        f"tank's water. {until}. Clean, the filter holds {number(100.0 * filling.one_pass, 2)} % "
        "in one pass. What a pad catches and how much it can hold is assumed."
    )


def answer_filling(filling: Filling) -> tuple[str, str]:
    """Give the highlighted number: the days until cleaning."""
    if math.isinf(filling.due):
        return "Days to cleaning", f"more than {number(filling.days[-1])}"
    grams = shown(filling.caught_when_due, "g", 2)
    return "Days to cleaning", f"{number(filling.due, 2)} ({filling.cause}, {grams} held)"


def filter_panel() -> Panel:
    """Return the panel: the filter, its order, and the weeks."""
    controls: dict[str, Control] = {
        f"tray_{at}": Choice(f"Tray {at}{' (water enters here)' if at == 1 else ''}", PADS, grade)
        for at, grade in enumerate(START, start=1)
    }
    controls |= {
        "day": Slider("Days since cleaning", "filter_day", 1.0),
        "production": Slider("Dry solids the tank makes", "solids_made", 0.1),
        "width": Slider("Width of the filter", "filter_width", 1.0),
        "depth": Slider("Depth of each pad", "filter_pad_depth", 5.0),
        "settling": Slider("Height of the settling space", "settling_height", 5.0),
    }
    days = parameter("filter_day").high
    return Panel(
        "Put the stages in order",
        controls,
        compute_filling,
        FillingFilter(TRAYS, days),
        describe_filling,
        answer_filling,
    )
