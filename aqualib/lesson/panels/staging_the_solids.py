"""The panel of lesson 05: a filter whose stages the learner puts in order, filling with dirt."""

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
    mass_share,
    pad,
    settling_space,
    size_classes,
)
from aqualib.filtration.capture.run import LAYERS, clog_run, sinking_speeds
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.lesson.charts.filling_filter import FillingFilter, FilterDay, Shape, Stage
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.pump_and_loop import KELVIN, Loop
from aqualib.parameters import parameter
from aqualib.units import from_si, label, number, shown

HALF_A_YEAR = parameter("filter_day")
BOX = PumpCurve(parameter("pump_rated_head").bare, parameter("pump_rated_flow").bare)
LOOP = Loop(
    parameter("hose_bore").bare,
    parameter("hose_length").bare,
    parameter("hose_elbows").bare,
    0.0,
    parameter("canister_losses").bare,
)
PLUMBING = LOOP.plumbing
"""One and the same function each time, so that its curve is worked out once."""
TRAYS = 3
START = ("coarse", "medium", "fine")
PADS = {
    "empty": "empty",
    "coarse": "coarse pad",
    "medium": "medium pad",
    "fine": "fine pad",
}
VIEWS = {"few": "solids_exponent", "many": "solids_exponent_fine"}
"""How fine the dirt is, and the row of its exponent: two published views."""


@dataclass(frozen=True, slots=True)
class Stack:
    """A filter: what lies in its trays from the bottom up, and its sizes in SI base units."""

    trays: tuple[str, ...]
    production: float
    width: float
    depth: float
    settling: float
    fines: str

    @property
    def area(self) -> float:
        """The floor of the round filter, in m²."""
        return math.pi / 4.0 * self.width**2


@lru_cache(maxsize=4)
def of_any_size(kind: str) -> Pad | SettlingSpace:
    """Return a pad or settling space with all that its size does not change."""
    size = parameter("filter_width").quantity ** 2, parameter("filter_pad_depth").quantity
    return settling_space(*size) if kind == "settling" else pad(kind, *size)


@lru_cache(maxsize=128)
def inside(stack: Stack) -> tuple[Pad | SettlingSpace, ...]:
    """Return the settling space and the pads, in the water's order; empty trays hold nothing."""
    depths = {"settling": stack.settling, **dict.fromkeys(stack.trays, stack.depth)}
    kinds = ("settling", *(grade for grade in stack.trays if grade != "empty"))
    return tuple(of_any_size(k).with_bare(area=stack.area, depth=depths[k]) for k in kinds)


@lru_cache(maxsize=2)
def particles(fines: str) -> tuple[SizeClasses, Array]:
    """Return the size classes and how fast each of them sinks."""
    sizes = size_classes(exponent=parameter(VIEWS[fines]).value)
    return sizes, sinking_speeds(sizes, KELVIN)


@lru_cache(maxsize=128)
def weeks(stack: Stack) -> ClogRun:
    """Return half a year of one filter, in SI base units: worked out once for each stack."""
    sizes, sinking = particles(stack.fines)
    return clog_run.bare(
        inside(stack),
        BOX,
        [PLUMBING],
        stack.production,
        parameter("tank_volume").bare,
        HALF_A_YEAR.to_base(HALF_A_YEAR.high),
        KELVIN,
        sizes=sizes,
        sinking=sinking,
    )


def on_day(run: ClogRun, series: Array, seconds: float) -> Array:
    """Return one of a run's series at a time, on straight lines between the steps."""
    at = min(int(np.searchsorted(run.time, seconds, "right")), len(run.time) - 1)
    before, after = run.time[at - 1 : at + 1]
    share = min((seconds - before) / (after - before), 1.0)
    return np.asarray(series[at - 1] + share * (series[at] - series[at - 1]))


def held(run: ClogRun, seconds: float) -> Array:
    """Return the dirt in kg in each stage at a time."""
    return on_day(run, run.mass.sum(axis=-1), seconds)


def compute(
    tray_1: str,
    tray_2: str,
    tray_3: str,
    day: float,
    production: float,
    width: float,
    depth: float,
    settling: float,
    fines: str,
) -> FilterDay:
    """Look at one day of a filter's half-year; SI numbers in."""
    trays = (tray_1, tray_2, tray_3)
    stack = Stack(trays, production, width, depth, settling, fines)
    run, (sizes, _) = weeks(stack), particles(fines)
    passing = np.prod(1.0 - run.efficiency, axis=0)
    shape = Shape(
        width=from_si(width, "mm"),
        settling=from_si(settling, "mm"),
        depth=from_si(depth, "mm"),
        edges=layer_edges(stack),
        production=from_si(production, "g/day"),
        fines=fines,
    )
    return FilterDay(
        stages=tuple(places(stack, run, day)),
        shape=shape,
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


def layer_edges(stack: Stack) -> tuple[float, ...]:
    """Return where the layers of a pad end, in mm from the water's side; all pads are alike."""
    pads = [stage for stage in inside(stack) if isinstance(stage, Pad)]
    return tuple(from_si(edge, "mm") for edge in pads[0].layer_edges(LAYERS)) if pads else ()


def places(stack: Stack, run: ClogRun, seconds: float) -> Iterator[Stage]:
    """Give what the settling space and each tray holds, from the bottom up."""
    series = run.mass.sum(axis=-1), run.fullness, run.filled
    now = iter(zip(*(on_day(run, one, seconds) for one in series), strict=True))
    limits = dict.fromkeys(stack.trays, parameter("pad_deposit_limit").value)
    for grade in ("settling space", *stack.trays):
        if grade == "empty":
            yield Stage(grade, 0.0, 0.0, 0.0, ())
            continue
        mass, fullness, filled = next(now)
        limit = limits.get(grade, 1.0)
        layers = tuple(float(share) for share in filled)
        face = limit * float(fullness)
        yield Stage(grade, from_si(float(mass), "g"), float(fullness), face, layers)


def cause(trays: tuple[str, ...], run: ClogRun) -> str:
    """Return in words what calls for cleaning."""
    if run.ended_by in {"", "flow"}:
        return {"": "", "flow": "the flow is down to half"}[run.ended_by]
    place = run.stages.index(run.ended_by)
    if not place:
        return "the settling space is full"
    tray = [at for at, grade in enumerate(trays, start=1) if grade != "empty"][place - 1]
    return f"the face of the {trays[tray - 1]} pad in tray {tray} is half full"


def told(at: int, stage: Stage) -> str:
    """Say what one place holds."""
    if stage.grade == "empty":
        return f"{at} (empty)"
    return f"{at} ({stage.grade}) {100.0 * stage.face:.0f} %"


def describe(today: FilterDay) -> str:
    """Say what the picture shows."""
    space, *trays = today.stages
    faces = ", ".join(told(at, stage) for at, stage in enumerate(trays, start=1))
    full = (
        f"Tray faces full: {faces}" if any(s.grade != "empty" for s in trays) else "No pad at all"
    )
    until = (
        f"No cleaning is due within {number(today.days[-1])} days."
        if math.isinf(today.due)
        else f"Due: {today.cause}."
    )
    habit = parameter("filter_cleaning")
    rots = (
        f" Dirt rots: clean every {number(habit.low)} to {number(habit.high)} weeks "
        "(practice, no source)."
        if today.due >= 7.0 * habit.low
        else ""
    )
    return (
        f"{shown(today.flow, 'L/h')}, {shown(space.grams, 'g')} settled in "
        f"{shown(today.shape.settling, 'mm')}. {full}. {until}{rots} Clean: "
        f"{number(100.0 * today.one_pass, 2)} % caught (assumed)."
    )


def answer(today: FilterDay) -> tuple[str, str]:
    """Give the two highlighted facts: when to clean, and how clear the water is."""
    water = f"water {number(today.suspended, 2)} mg/L of dirt"
    if math.isinf(today.due):
        return "No cleaning due by", f"day {number(today.days[-1])} · {water}"
    was = "was due" if today.day > today.due else "is due"
    return f"Cleaning {was} on", f"day {number(today.due, 2)} · {water}"


def fineness() -> dict[str, str]:
    """Return the two published views, by the share of the mass that is fines."""
    least, most, fine = (
        parameter(name) for name in ("solids_smallest", "solids_largest", "fines_size")
    )
    words = {}
    for view, row in VIEWS.items():
        exponent = parameter(row).value
        share = float(mass_share.bare(least.bare, fine.bare, least.bare, most.bare, exponent))
        size = f"{number(fine.value)} {label(fine.unit)}"
        words[view] = f"{view} fines: {number(100.0 * share, 2)} % of the mass below {size}"
    return words


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
        "fines": Choice("How fine the dirt is", fineness(), "few"),
    }
    chart = FillingFilter(TRAYS, HALF_A_YEAR.high)
    return Panel("Put the stages in order", controls, compute, chart, describe, answer)
