"""Carbon in the loop of a tank: it takes what is dissolved until it is full for that water."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Any, NamedTuple, TypeAlias

import numpy as np

from aqualib.edge import model
from aqualib.filtration.capture import concentration_after
from aqualib.filtration.capture.recirculation import SOLIDS_PRODUCTIONS, first_crossing
from aqualib.filtration.carbon.adsorption import (
    DISSOLVED_LEVELS,
    FREUNDLICH_CAPACITIES,
    freundlich_loading,
)
from aqualib.filtration.carbon.bed import CARBON_DENSITIES, CARBON_FLOWS, removed_in_one_pass
from aqualib.parameters import or_row, parameter
from aqualib.validity import Range

CARBON_STEPS = 120
CLOSE = 1e-9
"""The next of Newton's steps would be its square."""
# A second-order implicit method in two stages that damps whatever is too quick for the step.
FIRST = 1.0 - math.sqrt(0.5)

State: TypeAlias = tuple[float, ...]
"""The tank's concentration, the load of the carbon, and what was changed away."""


class CarbonRun(NamedTuple):
    """A tank and its carbon through the days. Units: those named from `carbon_run`, SI from its
    `bare`.
    """

    time: Any
    """Time since the carbon was put in (day)."""
    concentration: Any
    """What is dissolved in the tank's water (mg/L)."""
    without: Any
    """The same tank without carbon (mg/L)."""
    loading: Any
    """What a gram of carbon has taken (mg/g)."""
    fullness: Any
    """Loading over what the carbon can hold in the tank's water of that day."""
    one_pass: float
    """Share that fresh carbon takes in one pass."""
    made: Any
    """What has been made so far (mg)."""
    changed_away: Any
    """What water changes have taken away so far (mg)."""
    full_on: Any
    """When the carbon is full for the tank's water (day); infinite if not within the run."""
    halved_on: Any
    """When half of its best effect is left (day); infinite if not within the run."""
    gone_on: Any
    """When the tank is nearly as it would be without carbon (day); infinite if not yet."""


class Loop(NamedTuple):
    """What a run needs at each step, in SI base units and K for kg/m³."""

    mass: float
    volume: float
    production: float
    cleared: float
    exchange: float
    constant: float
    exponent: float


@model(
    returns={
        "time": "day",
        "concentration": "mg/L",
        "without": "mg/L",
        "loading": "mg/g",
        "made": "mg",
        "changed_away": "mg",
        "full_on": "day",
        "halved_on": "day",
        "gone_on": "day",
    }
)
def carbon_run(
    mass: Annotated[float, Range(0, 1e7, "g")],
    flow: Annotated[float, CARBON_FLOWS],
    production: Annotated[float, SOLIDS_PRODUCTIONS],
    volume: Annotated[float, Range(0.1, 1e7, "L")],
    duration: Annotated[float, Range(0.001, 3650, "day")],
    initial: Annotated[float, DISSOLVED_LEVELS] = 0.0,
    capacity: Annotated[float | None, FREUNDLICH_CAPACITIES] = None,
    exponent: Annotated[float | None, Range(0.05, 1)] = None,
    rate: Annotated[float | None, Range(1e-7, 10, "1/s")] = None,
    bulk_density: Annotated[float | None, CARBON_DENSITIES] = None,
    exchange: Annotated[float, Range(0, 10, "1/day")] = 0.0,
    steps: Annotated[int, Range(2, 10000, whole=True)] = CARBON_STEPS,
) -> CarbonRun:
    """Return what carbon does in the loop of a tank in which something dissolved is always made.

    The tank is mixed and loses what water changes take; the carbon takes what is above the
    concentration at which its load is at rest:

    V dC/dt = G - λ V C - Q E (C - C*),  M dq/dt = Q E (C - C*),  q = K C*^(1/n),
    E = 1 - exp(-k M / (ρ_b Q)).

    mass: Dry carbon, M.
    flow: Through the carbon, Q.
    production: G, made in a day.
    initial: At the start.
    capacity: K, as in `freundlich_loading`; left out, like the rest, that of the row, assumed.
    exponent: 1/n, as in `freundlich_loading`.
    rate: k.
    bulk_density: ρ_b.
    exchange: λ, the share of the water changed in a day, as if a little at a time.
    Validity: one substance that neither rots nor settles; the carbon is worked as one well-mixed
        lump, gives back what it holds if the water gets cleaner, and is not coated by dirt. Each
        step balances to rounding: it is a small batch, solved as `batch_equilibrium` is.
    """
    m = float(or_row(exponent, "organics_exponent"))
    # q in kg/kg is constant · C^m with C in kg/m³: the load at 1 kg/m³.
    constant = float(freundlich_loading.bare(1.0, or_row(capacity, "organics_capacity"), m))
    contact = mass / (or_row(bulk_density, "carbon_bulk_density") * flow)
    one_pass = float(removed_in_one_pass.bare(contact, rate))
    loop = Loop(mass, volume, production, flow * one_pass, exchange, constant, m)
    # Short steps at first: the water clears fast, the carbon fills slowly.
    time = duration * (np.arange(int(steps) + 1) / steps) ** 3
    tank, held, away = np.array(_march(loop, initial, time.tolist())).T
    without = concentration_after.bare(initial, production, exchange * volume, 1.0, volume, time)
    room = constant * tank**m
    fullness = np.divide(held, room, out=np.zeros_like(held), where=room > 0.0)
    return CarbonRun(
        time,
        tank,
        without,
        held,
        fullness,
        one_pass,
        production * time,
        away,
        first_crossing(time, fullness / parameter("carbon_full_share").value),
        *_over(time, tank, without),
    )


def _march(loop: Loop, initial: float, time: Sequence[float]) -> list[State]:
    """Return tank, load and what was changed away at each time."""
    now: State = initial, 0.0, 0.0
    course = [now]
    for start, end in pairwise(time):
        step = end - start
        half = _stage(loop, now, FIRST * step)
        ahead = 1.0 / FIRST - 1.0
        base = tuple(old + ahead * (new - old) for old, new in zip(now, half, strict=True))
        # Where the way ahead would fall below nothing, one plain implicit step cannot.
        rough = base[0] < 0.0 or base[1] < 0.0
        now = _stage(loop, now, step) if rough else _stage(loop, base, FIRST * step)
        course.append(now)
    return course


def _stage(loop: Loop, base: State, step: float) -> State:
    """Return tank, load and what was changed away a step after `base`, with the rates of the end.

    The balance of tank and carbon is that of a batch in which a little water meets the carbon.
    """
    tank, held, away = base
    passed = step * loop.cleared
    spread = 1.0 + step * loop.exchange + passed / loop.volume
    alone = tank + step * loop.production / loop.volume
    rest, load = 0.0, held
    meets = passed * (1.0 + step * loop.exchange) / spread
    if meets > 0.0:
        there = loop.mass * held + passed * alone / spread
        rest = _rest(there, meets, loop)
        load = loop.constant * rest**loop.exponent
    tank = (alone + passed * rest / loop.volume) / spread
    return tank, load, away + step * loop.exchange * loop.volume * tank


def _rest(there: float, meets: float, loop: Loop) -> float:
    """Return the concentration at which the carbon's load is at rest: that of a small batch."""
    if there <= 0.0:
        return 0.0
    most = there / meets
    strength = loop.mass * loop.constant * most**loop.exponent / there
    logarithm, change = min(0.0, -math.log(strength) / loop.exponent), 1.0
    # Newton's method as in `log_share_left`, for one number and only as long as it moves.
    while abs(change) > CLOSE:
        free, load = math.exp(logarithm), strength * math.exp(loop.exponent * logarithm)
        change = (free + load - 1.0) / (free + loop.exponent * load)
        logarithm -= change
    return most * math.exp(logarithm)


def _over(time: Any, tank: Any, without: Any) -> tuple[float, float]:
    """Return when the effect has halved, and when it is gone; both at once if there was none."""
    gone = parameter("carbon_effect_gone").value
    of_it = np.divide(tank, without, out=np.ones_like(tank), where=without > 0.0)
    least = int(np.argmin(of_it))
    if of_it[least] >= gone:
        return 0.0, 0.0
    halved = 1.0 - parameter("carbon_effect_left").value * (1.0 - of_it[least])
    return (
        first_crossing(time[least:], of_it[least:] / halved),
        first_crossing(time[least:], of_it[least:] / gone),
    )
