"""Capture: what a filter takes out of the water over weeks, until it is due for cleaning."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import model
from aqualib.filtration.capture.clogging import Circuit, Filters, Tank
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
from aqualib.filtration.capture.weeks import Moment, moments
from aqualib.filtration.hydraulics import PumpCurve
from aqualib.filtration.hydraulics.loop import LOSSES, Curve
from aqualib.parameters import or_row, parameter
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES

RUN_VOLUMES = Range(1, 1e7, "L")
RUN_DURATIONS = Range(0.01, 3650, "day")
LAYERS = 8
"""Layers of a pad in a run; the tests show what 5, 16 and 32 give."""


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
    filled: Any
    """Share of its room that is full in each layer, by time, stage and layer from the water's
    side; a settling space is one layer, told for all."""
    fullness: Any
    """Solids in the working face of each stage over those at which it is due for cleaning, by time
    and stage; a settling space is all face."""
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
    lost: Any
    """Solids that have left the tank's water by other ways (g)."""
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
        "lost": "g",
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
    fines_loss: Annotated[float | None, Range(0, 1000, "1/day")] = None,
    layers: Annotated[int, Range(2, 100, whole=True)] = LAYERS,
) -> ClogRun:
    """Return what happens in a filter over weeks as its stages fill with dirt.

    Each pad is cut into layers. A layer catches as if clean until it is full, then hands all on;
    so dirt goes deeper with the weeks. Left out, having no cited numbers for pads: dirt torn off
    again, pads that catch better as they fill, and water that finds a way round. Cut sizes, room
    and limits of pads are assumed.

    stages: In the water's order.
    losses: The plumbing around the stages.
    production: Dry solids that the tank makes. They stay afloat in it until the filter holds them
        or they leave the water by other ways.
    volume: Of the tank; with None, the solids enter the filter directly and what it does not
        hold is gone.
    sinking: Speed of each size in m/s, if it is known from before.
    least_flow_share: Of the clean flow, below which cleaning is due; None takes the row of that
        name.
    fines_loss: Share of what is afloat in a tank that leaves by other ways, in a unit of time;
        None takes the row of that name.
    layers: Of each pad.
    """
    return runs_side_by_side(
        [stages],
        pump,
        losses,
        production,
        volume,
        duration,
        temperature,
        salinity,
        sizes=sizes,
        sinking=sinking,
        least_flow_share=least_flow_share,
        fines_loss=fines_loss,
        layers=int(layers),
    )[0]


def runs_side_by_side(
    filters: Sequence[Sequence[Pad | SettlingSpace]],
    pump: PumpCurve,
    losses: Sequence[Curve],
    production: float,
    volume: float | None,
    duration: float,
    temperature: float,
    salinity: float = 0.0,
    *,
    sizes: SizeClasses | None = None,
    sinking: Any = None,
    least_flow_share: float | None = None,
    fines_loss: float | None = None,
    layers: int = LAYERS,
) -> list[ClogRun]:
    """Return `clog_run` in SI units for several filters, in hardly more time than for one.

    They hang on the same pump and plumbing; settling spaces stand at the same places in all.
    """
    sizes = size_classes.bare() if sizes is None else sizes
    named = [renamed(stages) for stages in filters]
    speeds = sinking_speeds(sizes, temperature, salinity) if sinking is None else sinking
    together = Filters.of(named, sizes.diameters, speeds, temperature, salinity, layers)
    tank = Tank(
        production * np.asarray(sizes.mass_shares), volume, or_row(fines_loss, "fines_loss")
    )
    share = or_row(least_flow_share, "least_flow_share")
    course = list(moments(together, Circuit.of(pump, losses), tank, duration, share))
    parts = {part: np.array([getattr(now, part) for now in course]) for part in Moment._fields[:-1]}
    for part in ("caught", "afloat", "passed", "lost"):
        parts[part] = np.array([getattr(now.dirt, part) for now in course])
    # One that is at its end waits there for the others.
    ends = (parts["time"] >= duration).argmax(axis=0) + 1
    return [
        _one_run(
            together.only(at),
            [stage.name for stage in stages],
            sizes,
            tank,
            layers,
            {part: series[: ends[at], at] for part, series in parts.items()},
        )
        for at, stages in enumerate(named)
    ]


def _one_run(
    filters: Filters,
    names: list[str],
    sizes: SizeClasses,
    tank: Tank,
    layers: int,
    now: dict[str, Any],
) -> ClogRun:
    """Return one filter's run from what it was at each moment."""
    first, cause = first_limit(now["time"], now["due"])
    clean = 1 - filters.efficiency(now["flow"][:1], now["mass"][:1])[0]
    return ClogRun(
        stages=tuple(names),
        diameters=sizes.diameters,
        time=now["time"],
        flow=now["flow"],
        mass=filters.by_stage(now["caught"], axis=1),
        filled=_by_layer(filters, now["filled"], layers),
        fullness=now["due"][:, :-1],
        clogging=_harder(filters, now["resistance"]),
        efficiency=1 - np.multiply.reduceat(clean, filters.starts, axis=0),
        afloat=now["afloat"],
        suspended=_suspended(now["afloat"], now["passed"], now["flow"], now["time"], tank.volume),
        made=tank.made.sum() * now["time"],
        passed=now["passed"].sum(axis=-1),
        lost=now["lost"].sum(axis=-1),
        cleaning_due=first,
        ended_by=[*names, "flow", ""][cause],
    )


def sinking_speeds(sizes: SizeClasses, temperature: float, salinity: float = 0.0) -> Any:
    """Return the settling velocity in m/s of each size, with the density of `solids_density`."""
    heavy = parameter("solids_density").bare
    return settling_velocity.bare(sizes.diameters, heavy, temperature, salinity)


def _by_layer(filters: Filters, filled: Any, layers: int) -> Any:
    """Return the shares filled by time, stage and layer; a single layer stands for all."""
    counts = np.diff(filters.starts, append=filled.shape[-1])
    places = [
        start + np.minimum(np.arange(layers), count - 1)
        for start, count in zip(filters.starts, counts, strict=True)
    ]
    return filled[:, np.array(places)]


def _harder(filters: Filters, resistance: Any) -> Any:
    """Return how many times harder each stage is to pass than clean; a space without pads, one."""
    clean = filters.by_stage(filters.linear)
    now = filters.by_stage(resistance)
    return np.divide(now, clean, out=np.ones_like(now), where=clean > 0)


def _suspended(afloat: Any, passed: Any, flow: Any, time: Any, volume: float | None) -> Any:
    """Return the solids in the tank's water, or in the outlet where there is no tank."""
    if volume is not None:
        return afloat.sum(axis=-1) / volume
    rate = np.gradient(passed.sum(axis=-1), time)
    return np.divide(rate, flow, out=np.zeros_like(rate), where=flow > 0)


def first_limit(time: Any, due: Any) -> tuple[float, int]:
    """Return when the first limit is reached, and its place: a stage, then flow, then none."""
    times = [first_crossing(time, rising) for rising in due.T]
    first = int(np.argmin(times))
    return (times[first], first) if np.isfinite(times[first]) else (times[first], len(times))
