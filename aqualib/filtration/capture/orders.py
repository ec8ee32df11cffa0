"""Stacks: every order of pads that fits a tray, tried, and shown as a trade-off, not one answer."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import model
from aqualib.filtration.capture.clogging import Circuit, Filters, Tank
from aqualib.filtration.capture.pads import (
    FLOW_AREAS,
    STAGE_DEPTHS,
    Pad,
    SettlingSpace,
    pads_in_order,
)
from aqualib.filtration.capture.particle_sizes import size_classes
from aqualib.filtration.capture.recirculation import SOLIDS_PRODUCTIONS
from aqualib.filtration.capture.run import (
    LAYERS,
    RUN_DURATIONS,
    RUN_VOLUMES,
    first_limit,
    sinking_speeds,
)
from aqualib.filtration.capture.weeks import moments
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.filtration.hydraulics.loop import LOSSES, Curve
from aqualib.parameters import parameter
from aqualib.units import SECONDS_PER_DAY, Q
from aqualib.validity import ValidityError
from aqualib.water.properties import TEMPERATURES

MOST_PADS = 6
CLASSES = 16


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
    """The limit reached: a grade with its place, "settling", "flow", or "" for none."""
    flow: Any
    """Flow with clean pads (L/h)."""
    best: bool
    """True if no other order catches as much and lasts as long, one of them more."""


def _check_height(tray_height: float, pad_depth: float, **_: Any) -> None:
    count = _count(tray_height, pad_depth)
    if not 0 < count <= MOST_PADS:
        valid = f"1 to {MOST_PADS} pads high"
        raise ValidityError("tray_height", f"{count} pads", valid, "", "is out of range")


def _count(tray_height: float, pad_depth: float) -> int:
    return int(tray_height / pad_depth * (1 + np.finfo(float).eps))


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
    pad_depth: Annotated[float, STAGE_DEPTHS] = 0.02,
    duration: Annotated[float, RUN_DURATIONS] = 180 * SECONDS_PER_DAY,
    settling: SettlingSpace | None = None,
) -> tuple[Stack, ...]:
    """Return every order of coarse, medium and fine pads that fills a tray, best ones first.

    "Best" is a trade-off: those of which no other catches more in one pass without being due for
    cleaning sooner. Which of them is right depends on how clear the water must be and on how
    often one likes to clean. It rests on assumed cut sizes.
    """
    grades = pads_in_order(Q(area, "m**2"), Q(pad_depth, "m"))
    stacks = list(product(grades, repeat=_count(tray_height, pad_depth)))
    sizes = size_classes.bare(count=CLASSES)
    first = () if settling is None else (settling,)
    filters = Filters.of(
        [first + stack for stack in stacks],
        sizes.diameters,
        sinking_speeds(sizes, temperature),
        temperature,
        0.0,
        LAYERS,
    )
    circuit = Circuit.of(pump, losses)
    shares = np.asarray(sizes.mass_shares)
    tank = Tank(production * shares, volume, parameter("fines_loss").bare)
    least = parameter("least_flow_share").bare
    course = [
        (now.time, now.flow, now.due, now.dirt.afloat.sum(axis=-1))
        for now in moments(filters, circuit, tank, duration, least, until_due=True)
    ]
    time, flow, due, afloat = (np.array(series) for series in zip(*course, strict=True))
    passing = np.prod(1 - filters.efficiency(flow[0], 0 * filters.room), axis=1)
    captured = 1 - passing @ shares
    limits = [first_limit(time[:, at], due[:, at]) for at in range(len(stacks))]
    days = np.array([min(first, duration) for first, _ in limits])
    best = on_the_front(captured, days)
    found = [
        Stack(
            grades=tuple(one.name for one in stack),
            captured=float(captured[at]),
            suspended=float(np.interp(days[at], time[:, at], afloat[:, at]) / volume),
            days=float(days[at]),
            ended_by=_name(first + stack, limits[at][1]),
            flow=float(flow[0, at]),
            best=bool(best[at]),
        )
        for at, stack in enumerate(stacks)
    ]
    return tuple(sorted(found, key=lambda s: (not s.best, -s.captured, -s.days)))


def on_the_front(captured: Any, days: Any) -> Any:
    """Return for each stack whether no other is as good in both respects and better in one."""
    # The order of multiplication leaves traces in the last digits.
    caught = np.round(captured, 10)
    as_good = (caught[None] >= caught[:, None]) & (days[None] >= days[:, None])
    better = (caught[None] > caught[:, None]) | (days[None] > days[:, None])
    return ~(as_good & better).any(axis=1)


def _name(stages: Sequence[Pad | SettlingSpace], cause: int) -> str:
    names = [f"{stage.name} in place {at}" for at, stage in enumerate(stages, start=1)]
    return [*names, "flow", ""][cause]
