"""The panel of lesson 04: a filter whose stages the learner puts in order, filling with dirt."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from aqualib.filtration.capture import (
    ClogRun,
    Pad,
    SettlingSpace,
    SizeClasses,
    pad,
    settling_space,
    size_classes,
)
from aqualib.filtration.capture.run import clog_run, sinking_speeds
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.lesson.charts.filling_filter import FillingFilter, FilterDay, Stage
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.pump_and_loop import KELVIN, Loop
from aqualib.parameters import parameter
from aqualib.units import Q, from_si, number, shown

HALF_A_YEAR = parameter("filter_day")
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


@lru_cache(maxsize=1)
def particles() -> tuple[SizeClasses, Array]:
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
        HALF_A_YEAR.to_base(HALF_A_YEAR.high),
        KELVIN,
        sizes=sizes,
        sinking=sinking,
        steps=STEPS,
    )


def held(run: ClogRun, seconds: float) -> Array:
    """Return the dirt in kg in each stage at a time, on straight lines between the steps."""
    mass = run.mass.sum(axis=-1)
    at = min(seconds, run.time[-1]) / run.time[1]
    before = min(int(at), len(run.time) - 2)
    return np.asarray(mass[before] + (at - before) * (mass[before + 1] - mass[before]))


def compute(
    tray_1: str,
    tray_2: str,
    tray_3: str,
    day: float,
    production: float,
    width: float,
    depth: float,
    settling: float,
) -> FilterDay:
    """Look at one day of a filter's half-year; SI numbers in."""
    trays = (tray_1, tray_2, tray_3)
    stack = Stack(trays, production, width, depth, settling)
    run, (sizes, _) = weeks(stack), particles()
    passing = np.prod(1.0 - run.efficiency, axis=0)
    return FilterDay(
        stages=tuple(places(stack, run, day)),
        width=from_si(width, "mm"),
        settling=from_si(settling, "mm"),
        depth=from_si(depth, "mm"),
        production=from_si(production, "g/day"),
        day=from_si(day, "day"),
        days=from_si(run.time, "day"),
        flows=from_si(run.flow, "L/h"),
        flow=from_si(float(np.interp(day, run.time, run.flow)), "L/h"),
        suspended=from_si(float(np.interp(day, run.time, run.suspended)), "mg/L"),
        one_pass=float(1.0 - passing @ np.asarray(sizes.mass_shares)),
        due=from_si(run.cleaning_due, "day"),
        cause=cause(trays, run),
        caught_when_due=from_si(float(held(run, run.cleaning_due).sum()), "g"),
    )


def places(stack: Stack, run: ClogRun, seconds: float) -> Iterator[Stage]:
    """Give what the settling space and each tray holds, from the bottom up."""
    loads = iter(zip(inside(stack), held(run, seconds), strict=True))
    for grade in ("settling space", *stack.trays):
        if grade == "empty":
            yield Stage(grade, 0.0, 0.0, 0.0)
            continue
        stage, mass = next(loads)
        share = float(mass / stage.capacity), float(mass / stage.room)
        yield Stage(grade, from_si(float(mass), "g"), *share)


def cause(trays: tuple[str, ...], run: ClogRun) -> str:
    """Return in words what calls for cleaning."""
    if run.ended_by in {"", "flow"}:
        return {"": "", "flow": "the flow is down to half"}[run.ended_by]
    place = run.stages.index(run.ended_by)
    if not place:
        return "the settling space is full"
    tray = [at for at, grade in enumerate(trays, start=1) if grade != "empty"][place - 1]
    return f"the {trays[tray - 1]} pad in tray {tray} is full"


def describe(today: FilterDay) -> str:
    """Say what the picture shows."""
    loads = ", ".join(
        f"{stage.grade if at == 0 else f'tray {at} ({stage.grade})'} {shown(stage.grams, 'g')}"
        for at, stage in enumerate(today.stages)
        if stage.grade != "empty"
    )
    until = (
        f"No cleaning is due within {number(today.days[-1])} days"
        if math.isinf(today.due)
        else f"Cleaning is due on day {number(today.due, 2)}, when {today.cause} and "
        f"{shown(today.caught_when_due, 'g')} are held"
    )
    return (
        f"Day {number(today.day)}, at {shown(today.production, 'g/day')} of dry solids, in a "
        f"filter {shown(today.width / 10.0, 'cm')} wide: {loads}. "
        f"{shown(today.flow, 'L/h')} flow, and {number(today.suspended, 2)} mg/L are in the "
        f"tank's water. {until}. Clean, the filter holds {number(100.0 * today.one_pass, 2)} % "
        "in one pass. What a pad catches and how much it can hold is assumed."
    )


def answer(today: FilterDay) -> tuple[str, str]:
    """Give the highlighted number: the days until cleaning."""
    if math.isinf(today.due):
        return "Days to cleaning", f"more than {number(today.days[-1])}"
    grams = shown(today.caught_when_due, "g", 2)
    return "Days to cleaning", f"{number(today.due, 2)} ({today.cause}, {grams} held)"


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
    chart = FillingFilter(TRAYS, HALF_A_YEAR.high)
    return Panel("Put the stages in order", controls, compute, chart, describe, answer)
