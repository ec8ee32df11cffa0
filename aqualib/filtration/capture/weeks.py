"""Weeks: the steps in which filters fill, short where something is about to change.

How long a step is follows from the dirt alone, never from how long a run was asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np

from aqualib.filtration.capture.clogging import (
    AS_GOOD_AS_FULL,
    NEARLY_FULL,
    TINY,
    Circuit,
    Dirt,
    Filters,
    Shares,
    Tank,
    advance,
)
from aqualib.units import SECONDS_PER_DAY

FIRST, SHORTEST, LONGEST = 0.1 * SECONDS_PER_DAY, 600.0, 10 * SECONDS_PER_DAY
GROWTH = 0.4
"""A step is at most this share of the time gone by, and `FIRST`: the tank settles in a few days."""
STEEPEST = 0.5
"""Share by which the pads' resistance may grow within a step."""
UNFELT = 0.1
"""Pads that take less than this share of the pump's head may clog as fast as they like."""
HALVINGS = 10
"""A step that would make them grow more is cut in half, so often at most."""
BEYOND = 1.002
"""A step that ends with a full layer goes this share of its way, so that the layer is full."""


class Moment(NamedTuple):
    """All filters at the end of a step; each has its own time."""

    time: Any
    flow: Any
    mass: Any
    """Dry solids in kg by filter and layer."""
    filled: Any
    """Share of its room that is full in each layer."""
    resistance: Any
    """Head that each layer takes for each m³/s."""
    due: Any
    """How near each stage, and last the flow, is to calling for cleaning; 1 calls for it."""
    dirt: Dirt


def moments(
    filters: Filters,
    circuit: Circuit,
    tank: Tank,
    duration: float,
    least_flow_share: float,
    *,
    until_due: bool = False,
) -> Iterator[Moment]:
    """Give the filters from clean until the duration is over, or until each is due for cleaning."""
    dirt, time = Dirt.none(filters.catch.shape), np.zeros(len(filters.catch))
    clean_flow = circuit.flow(filters.linear.sum(axis=-1), filters.square)
    allowed = np.maximum((1 - least_flow_share) * clean_flow, TINY)
    while True:
        mass = dirt.caught.sum(axis=-1)
        filled = filters.filled(mass)
        resistance = filters.resistance(filled)
        flow = circuit.flow(resistance.sum(axis=-1), filters.square)
        # Without flow from the start none is lost; where none may be lost, any loss is too much.
        lost = (clean_flow - flow) / allowed
        due = np.concatenate([filters.fullness(mass), lost[:, None]], axis=-1)
        now = Moment(time, flow, mass, filled, resistance, due, dirt)
        yield now
        over = (time >= duration) | (until_due & (due >= 1).any(axis=-1))
        if over.all():
            return
        shares = Shares.of(filters.efficiency(now.flow, mass))
        seconds = np.minimum(step(filters, circuit, tank, now, shares), duration - time)
        seconds = np.where(over, 0.0, seconds)
        dirt = advance(dirt, shares, now.flow, tank, seconds)
        time = np.where(seconds < duration - time, time + seconds, duration)


def step(filters: Filters, circuit: Circuit, tank: Tank, now: Moment, shares: Shares) -> Any:
    """Return for each filter how many seconds nothing changes much."""
    catching = _catching(tank, now, shares)
    seconds = np.minimum(FIRST + GROWTH * now.time, LONGEST)
    gap = AS_GOOD_AS_FULL * filters.full - now.mass
    there = (gap > 0) & (catching > 0)
    until_full = np.divide(gap, catching, out=np.full_like(gap, np.inf), where=there)
    seconds = np.minimum(seconds, BEYOND * until_full.min(axis=-1))
    # The resistance grows with the cube of the room that is left: look where the step would lead.
    unfelt = UNFELT * circuit.spare[0] / circuit.flows[-1]
    most = (1 + STEEPEST) * (now.resistance.sum(axis=-1) + unfelt) - unfelt
    filling = catching / filters.room
    for _ in range(HALVINGS):
        ahead = np.minimum(now.filled + filling * seconds[:, None], NEARLY_FULL)
        too_far = filters.resistance(ahead).sum(axis=-1) > most
        if not too_far.any():
            break
        seconds = np.where(too_far, seconds / 2, seconds)
    return np.maximum(seconds, SHORTEST)


def _catching(tank: Tank, now: Moment, shares: Shares) -> Any:
    """Return how many kg a second each layer takes, or will once the tank has settled."""
    if tank.volume is None:
        return shares.by_layer @ tank.made
    leaving = now.flow[:, None] * shares.total / tank.volume + tank.loss
    settled = np.divide(tank.made, leaving, out=np.zeros_like(leaving), where=leaving > 0)
    arriving = now.flow[:, None] / tank.volume * np.maximum(now.dirt.afloat, settled)
    return (shares.by_layer @ arriving[..., None])[..., 0]
