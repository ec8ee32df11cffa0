"""Carbon in the loop of a tank: it takes what is dissolved until it is full for that water."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from aqualib.arguments import one_number
from aqualib.filtration.capture import concentration_after
from aqualib.filtration.capture.recirculation import PRODUCTIONS, first_crossing
from aqualib.filtration.carbon.adsorption import CAPACITIES, CONCENTRATIONS, freundlich_loading
from aqualib.filtration.carbon.bed import DENSITIES, FLOWS, removed_in_one_pass
from aqualib.parameters import or_row, parameter
from aqualib.units import Q
from aqualib.validity import Range

STEPS = 120
CLOSE = 1e-9
"""The next of Newton's steps would be its square."""
# A second-order implicit method in two stages that damps whatever is too quick for the step.
FIRST = 1.0 - math.sqrt(0.5)

RANGES = {
    "mass": Range(0, 1e7, "g"),
    "flow": FLOWS,
    "production": PRODUCTIONS,
    "volume": Range(0.1, 1e7, "L"),
    "duration": Range(0.001, 3650, "day"),
    "initial": CONCENTRATIONS,
    "capacity": CAPACITIES,
    "exponent": Range(0.05, 1),
    "rate": Range(1e-7, 10, "1/s"),
    "bulk_density": DENSITIES,
    "exchange": Range(0, 10, "1/day"),
}


State: TypeAlias = tuple[float, ...]
"""The tank's concentration, the load of the carbon, and what was changed away."""


class CarbonRun(NamedTuple):
    """A tank and its carbon through the days. Units: those named from `carbon_run`, else SI."""

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


def bare_carbon_run(
    mass: float,
    flow: float,
    production: float,
    volume: float,
    duration: float,
    initial: float = 0.0,
    capacity: float | None = None,
    exponent: float | None = None,
    rate: float | None = None,
    bulk_density: float | None = None,
    exchange: float = 0.0,
    steps: int = STEPS,
) -> CarbonRun:
    """Return a tank's days with carbon from plain SI numbers; see `carbon_run`."""
    m = float(or_row(exponent, "organics_exponent"))
    # q in kg/kg is constant · C^m with C in kg/m³: the load at 1 kg/m³.
    constant = float(freundlich_loading.bare(1.0, or_row(capacity, "organics_capacity"), m))
    contact = mass / (or_row(bulk_density, "carbon_bulk_density") * flow)
    one_pass = float(removed_in_one_pass.bare(contact, rate))
    loop = Loop(mass, volume, production, flow * one_pass, exchange, constant, m)
    # Short steps at first: the water clears fast, the carbon fills slowly.
    time = duration * (np.arange(steps + 1) / steps) ** 3
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
        _gone(time, tank, without, parameter("carbon_effect_gone").value),
    )


def carbon_run(
    mass: Any,
    flow: Any,
    production: Any,
    volume: Any,
    duration: Any,
    initial: Any = None,
    capacity: Any = None,
    exponent: Any = None,
    rate: Any = None,
    bulk_density: Any = None,
    exchange: Any = None,
) -> CarbonRun:
    """Return what carbon does in the loop of a tank in which something dissolved is always made.

    The tank is mixed and loses what water changes take; the carbon takes what is above the
    concentration at which its load is at rest:

    V dC/dt = G - λ V C - Q E (C - C*),  M dq/dt = Q E (C - C*),  q = K C*^(1/n),
    E = 1 - exp(-k M / (ρ_b Q)).

    Parameters: `mass` of dry carbon (g); `flow` through it (L/h); `production` G (g/day);
    `volume` of the tank (L); `duration` (day); `initial` concentration (mg/L, zero if left out);
    `capacity` K and `exponent` 1/n as in `freundlich_loading`; `rate` k (1/s); `bulk_density`
    ρ_b (kg/m³); `exchange` λ (1/day), the share of the water changed in a day, as if a little at
    a time (zero if left out). Where the last five but one are left out, the rows of the
    parameters hold, which are assumed.

    Validity: one substance that neither rots nor settles; the carbon is worked as one well-mixed
    lump, gives back what it holds if the water gets cleaner, and is not coated by dirt.
    Each step balances to rounding: it is a small batch, solved as `batch_equilibrium` is.
    """
    given = dict(zip(RANGES, (mass, flow, production, volume, duration), strict=False))
    rest = {
        "initial": initial,
        "capacity": capacity,
        "exponent": exponent,
        "rate": rate,
        "bulk_density": bulk_density,
        "exchange": exchange,
    }
    given |= {name: value for name, value in rest.items() if value is not None}
    plain: dict[str, Any] = {
        name: one_number(name, value, RANGES[name]) for name, value in given.items()
    }
    run = bare_carbon_run(**plain)
    return run._replace(
        time=Q(run.time, "s").to("day"),
        concentration=Q(run.concentration, "kg/m**3").to("mg/L"),
        without=Q(run.without, "kg/m**3").to("mg/L"),
        loading=Q(run.loading, "kg/kg").to("mg/g"),
        made=Q(run.made, "kg").to("mg"),
        changed_away=Q(run.changed_away, "kg").to("mg"),
        full_on=Q(run.full_on, "s").to("day"),
        gone_on=Q(run.gone_on, "s").to("day"),
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


def _gone(time: Any, tank: Any, without: Any, share: float) -> float:
    """Return when the tank is back at this share of what it would be without carbon."""
    of_it = np.divide(tank, without, out=np.ones_like(tank), where=without > 0.0)
    least = int(np.argmin(of_it))
    if of_it[least] >= share:
        return 0.0
    return first_crossing(time[least:], of_it[least:] / share)
