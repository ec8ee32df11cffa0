"""Capture: what a filter takes out of the water over weeks, until it is due for cleaning."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import model
from aqualib.filtration.capture.clogging import Circuit, Dirt, Filters, advance
from aqualib.filtration.capture.pads import Pad, SettlingSpace, renamed
from aqualib.filtration.capture.particle_sizes import (
    SizeClasses,
    size_classes,
)
from aqualib.filtration.capture.recirculation import (
    SOLIDS_PRODUCTIONS,
    first_crossing,
)
from aqualib.filtration.capture.settling import (
    settling_velocity,
)
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.filtration.hydraulics.loop import LOSSES, Curve
from aqualib.parameters import or_row, parameter
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES

RUN_VOLUMES = Range(1, 1e7, "L")
RUN_DURATIONS = Range(0.01, 3650, "day")
RUN_STEPS = 48


class ClogRun(NamedTuple):
    """A filter through the weeks. Axes: time; time and stage; time, stage and size.

    Units: those named, from `clog_run`; SI base units from `clog_run.bare`.
    """

    stages: tuple[str, ...]
    """Names in the water's order."""
    diameters: Any
    """Middle diameter of each size class (µm)."""
    time: Any
    """Time since cleaning (day)."""
    flow: Any
    """Flow through the filter (L/h)."""
    mass: Any
    """Dry solids caught, by time, stage and size (g)."""
    fullness: Any
    """Solids in each stage over those at which it is due for cleaning, by time and stage."""
    clogging: Any
    """How many times harder each stage is to pass than clean, by time and stage."""
    efficiency: Any
    """Share of each size that each stage holds in the clean filter, by stage and size."""
    afloat: Any
    """Solids in the tank's water, by time and size (g)."""
    suspended: Any
    """Solids in the tank's water, all sizes (mg/L); in the outlet if there is no tank."""
    made: Any
    """Solids that the tank has made so far (g)."""
    passed: Any
    """Solids that have left for good, without a tank (g)."""
    cleaning_due: Any
    """Time at which a limit is reached first (day); infinite if none is within the run."""
    ended_by: str
    """Name of the stage that is full, or "flow", or "" if no limit is reached."""


def _check_stages(stages: Any, **_: Any) -> None:
    if not stages:
        raise ValidityError("stages", "none", "one or more", "", "is empty")


@model(
    returns={
        "mass": "g",
        "afloat": "g",
        "made": "g",
        "passed": "g",
        "diameters": "um",
        "time": "day",
        "flow": "L/h",
        "suspended": "mg/L",
        "cleaning_due": "day",
    },
    together=_check_stages,
)
def clog_run(
    stages: Sequence[Pad | SettlingSpace],
    pump: PumpCurve,
    losses: Annotated[Sequence[Curve], LOSSES],
    production: Annotated[float, SOLIDS_PRODUCTIONS],
    volume: Annotated[float | None, RUN_VOLUMES],
    duration: Annotated[float, RUN_DURATIONS],
    temperature: Annotated[float, TEMPERATURES],
    salinity: Annotated[float, SALINITIES] = 0.0,
    sizes: SizeClasses | None = None,
    sinking: Any = None,
    least_flow_share: Annotated[float | None, Range(0, 1)] = None,
    steps: Annotated[int, Range(2, 10000, whole=True)] = RUN_STEPS,
) -> ClogRun:
    """Return what happens in a filter over weeks as its stages fill with dirt.

    Left out, having no cited numbers for pads: dirt torn off again, and pads that catch better as
    they fill. Cut sizes, room and limits of pads are assumed.

    stages: In the water's order.
    losses: The plumbing around the stages.
    production: Dry solids that the tank makes. They stay afloat in it until the filter holds them.
    volume: Of the tank; with None, the solids enter the filter directly and what it does not
        hold is gone.
    sinking: Speed of each size in m/s, if it is known from before.
    least_flow_share: Of the clean flow, below which cleaning is due; None takes the row of that
        name.
    """
    sizes = size_classes.bare() if sizes is None else sizes
    stages = renamed(stages)
    speeds = sinking_speeds(sizes, temperature, salinity) if sinking is None else sinking
    filters = Filters.of([stages], sizes.diameters, speeds, temperature, salinity)
    circuit = Circuit.of(pump, losses)
    made = production * np.asarray(sizes.mass_shares)
    time = np.linspace(0, duration, int(steps) + 1)
    flow, caught, afloat, passed = _march(filters, circuit, made, volume, time)
    mass = caught.sum(axis=-1)
    fullness = mass / filters.capacity
    share = or_row(least_flow_share, "least_flow_share")
    due, cause = _first_limit(time, flow, fullness, share)
    clean = filters.efficiency(flow[:1], mass[:1])[0]
    total = made.sum() * time
    return ClogRun(
        stages=tuple(stage.name for stage in stages),
        diameters=sizes.diameters,
        time=time,
        flow=flow,
        mass=caught,
        fullness=fullness,
        clogging=filters.clogging(mass),
        efficiency=clean,
        afloat=afloat,
        suspended=_suspended(afloat, passed, flow, time, volume),
        made=total,
        passed=passed.sum(axis=-1),
        cleaning_due=due,
        ended_by=[*(stage.name for stage in stages), "flow", ""][cause],
    )


def sinking_speeds(sizes: SizeClasses, temperature: float, salinity: float = 0.0) -> Any:
    """Return the settling velocity in m/s of each size, with the density of `solids_density`."""
    heavy = parameter("solids_density").bare
    return settling_velocity.bare(sizes.diameters, heavy, temperature, salinity)


def _march(
    filters: Filters, circuit: Circuit, made: Any, volume: float | None, time: Any
) -> tuple[Any, Any, Any, Any]:
    """Return flow, dirt caught, afloat and passed of one filter at each time."""
    dirt = Dirt(np.zeros_like(filters.catch), np.zeros((1, len(made))), np.zeros((1, len(made))))
    flow = np.empty_like(time)
    caught = np.empty((len(time), *filters.catch.shape[1:]))
    afloat, passed = np.empty((2, len(time), len(made)))
    for at, seconds in enumerate(np.diff(time, append=time[-1])):
        mass = dirt.caught.sum(axis=-1)
        now = filters.flow(circuit, mass)
        flow[at], caught[at] = now[0], dirt.caught[0]
        afloat[at], passed[at] = dirt.afloat[0], dirt.passed[0]
        dirt = advance(dirt, filters.efficiency(now, mass), now, made, volume, seconds)
    return flow, caught, afloat, passed


def _suspended(afloat: Any, passed: Any, flow: Any, time: Any, volume: float | None) -> Any:
    """Return the solids in the tank's water, or in the outlet where there is no tank."""
    if volume is not None:
        return afloat.sum(axis=-1) / volume
    rate = np.gradient(passed.sum(axis=-1), time)
    return np.divide(rate, flow, out=np.zeros_like(rate), where=flow > 0)


def _first_limit(time: Any, flow: Any, fullness: Any, share: float) -> tuple[float, int]:
    """Return when the first limit is reached, and its place: a stage, then flow, then none."""
    # The loss of flow over the loss allowed; a filter that must not lose any is due at once.
    lost = np.divide(flow[0] - flow, (1 - share) * flow[0], out=np.ones_like(flow), where=share < 1)
    series = [*fullness.T, lost]
    times = [*(first_crossing(time, rising) for rising in series)]
    first = int(np.argmin(times))
    return (times[first], first) if np.isfinite(times[first]) else (times[first], len(series))
