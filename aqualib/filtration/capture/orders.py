"""Stacks: every order of pads that fits a tray, tried, and shown as a trade-off, not one answer."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import model
from aqualib.filtration.capture.clogging import Circuit, Dirt, Filters, advance
from aqualib.filtration.capture.pads import (
    FLOW_AREAS,
    GRADES,
    STAGE_DEPTHS,
    Pad,
    SettlingSpace,
    pad,
)
from aqualib.filtration.capture.particle_sizes import size_classes
from aqualib.filtration.capture.recirculation import SOLIDS_PRODUCTIONS, first_crossing
from aqualib.filtration.capture.run import RUN_DURATIONS, RUN_VOLUMES, sinking_speeds
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.filtration.hydraulics.loop import LOSSES, Curve
from aqualib.parameters import parameter
from aqualib.units import SECONDS_PER_DAY, Q
from aqualib.validity import ValidityError
from aqualib.water.properties import TEMPERATURES

MOST_LAYERS = 6
CLASSES = 16
TRIAL_STEPS = 40


class Stack(NamedTuple):
    """One order of pads and what it gives: how much it catches, and how long it lasts."""

    grades: tuple[str, ...]
    """From the water's entry on."""
    captured: float
    """Share of the solids' mass that the clean filter holds in one pass."""
    suspended: Any
    """Solids in the tank's water when cleaning is due, or at the end (mg/L)."""
    days: Any
    """Time to cleaning (day); the end of the trial if it is not reached."""
    ended_by: str
    """The limit reached: a grade with its layer, "settling", "flow", or "" for none."""
    flow: Any
    """Flow with clean pads (L/h)."""
    best: bool
    """True if no other order catches as much and lasts as long, one of them more."""


def _check_height(tray_height: float, layer: float, **_: Any) -> None:
    count = _layers(tray_height, layer)
    if not 0 < count <= MOST_LAYERS:
        valid = f"1 to {MOST_LAYERS} layers high"
        raise ValidityError("tray_height", f"{count} layers", valid, "", "is out of range")


def _layers(tray_height: float, layer: float) -> int:
    return int(tray_height / layer * (1 + np.finfo(float).eps))


@model(
    returns={"suspended": "mg/L", "days": "day", "flow": "L/h"},
    together=_check_height,
)
def best_stacks(
    tray_height: Annotated[float, STAGE_DEPTHS],
    area: Annotated[float, FLOW_AREAS],
    pump: PumpCurve,
    losses: Annotated[Sequence[Curve], LOSSES],
    production: Annotated[float, SOLIDS_PRODUCTIONS],
    volume: Annotated[float, RUN_VOLUMES],
    temperature: Annotated[float, TEMPERATURES],
    layer: Annotated[float, STAGE_DEPTHS] = 0.02,
    duration: Annotated[float, RUN_DURATIONS] = 180 * SECONDS_PER_DAY,
    settling: SettlingSpace | None = None,
) -> tuple[Stack, ...]:
    """Return every order of coarse, medium and fine layers that fills a tray, best ones first.

    "Best" is a trade-off: those of which no other catches more in one pass without being due for
    cleaning sooner. Which of them is right depends on how clear the water must be and on how
    often one likes to clean. It rests on assumed cut sizes.
    """
    pads = [pad(grade, Q(area, "m**2"), Q(layer, "m")) for grade in GRADES]
    layers = list(product(pads, repeat=_layers(tray_height, layer)))
    sizes = size_classes.bare(count=CLASSES)
    first = () if settling is None else (settling,)
    filters = Filters.of(
        [first + stack for stack in layers],
        sizes.diameters,
        sinking_speeds(sizes, temperature),
        temperature,
        0.0,
    )
    made = production * np.asarray(sizes.mass_shares)
    # Short steps at first, for the stacks that do not last.
    time = duration * np.square(np.linspace(0, 1, TRIAL_STEPS + 1))
    flow, fullness, afloat = _march(filters, Circuit.of(pump, losses), made, volume, time)
    passing = np.prod(1 - filters.efficiency(flow[0], 0 * filters.room), axis=1)
    captured = 1 - passing @ np.asarray(sizes.mass_shares)
    limits = [_limit(time, flow[:, at], fullness[:, at]) for at in range(len(layers))]
    days = np.array([min(due, duration) for due, _ in limits])
    best = on_the_front(captured, days)
    stacks = [
        Stack(
            grades=tuple(layer.name for layer in stack),
            captured=float(captured[at]),
            suspended=float(np.interp(days[at], time, afloat[:, at]) / volume),
            days=float(days[at]),
            ended_by=_name(first + stack, limits[at][1]),
            flow=float(flow[0, at]),
            best=bool(best[at]),
        )
        for at, stack in enumerate(layers)
    ]
    return tuple(sorted(stacks, key=lambda s: (not s.best, -s.captured, -s.days)))


def on_the_front(captured: Any, days: Any) -> Any:
    """Return for each stack whether no other is as good in both respects and better in one."""
    # The order of multiplication leaves traces in the last digits.
    caught = np.round(captured, 10)
    as_good = (caught[None] >= caught[:, None]) & (days[None] >= days[:, None])
    better = (caught[None] > caught[:, None]) | (days[None] > days[:, None])
    return ~(as_good & better).any(axis=1)


def _march(
    filters: Filters, circuit: Circuit, made: Any, volume: float, time: Any
) -> tuple[Any, Any, Any]:
    """Return flow, fullness and solids afloat of all filters at each time."""
    count, stages, classes = filters.catch.shape
    dirt = Dirt(*(np.zeros(shape) for shape in ((count, stages, classes), (count, classes), ())))
    flow, afloat = np.empty((2, len(time), count))
    fullness = np.empty((len(time), count, stages))
    for at, seconds in enumerate(np.diff(time, append=time[-1])):
        mass = dirt.caught.sum(axis=-1)
        flow[at] = filters.flow(circuit, mass)
        fullness[at], afloat[at] = mass / filters.capacity, dirt.afloat.sum(axis=-1)
        held = filters.efficiency(flow[at], mass)
        dirt = advance(dirt, held, flow[at], made, volume, seconds)
    return flow, fullness, afloat


def _limit(time: Any, flow: Any, fullness: Any) -> tuple[float, int]:
    allowed = (1 - parameter("least_flow_share").bare) * flow[0]
    series = [*fullness.T, (flow[0] - flow) / allowed]
    times = [first_crossing(time, rising) for rising in series]
    first = int(np.argmin(times))
    return times[first], (first if np.isfinite(times[first]) else len(series))


def _name(stages: Sequence[Pad | SettlingSpace], cause: int) -> str:
    names = [f"{stage.name} in place {at}" for at, stage in enumerate(stages, start=1)]
    return [*names, "flow", ""][cause]
