"""Clogging: one or many filters at once, layer by layer, on plain SI numbers.

A pad is cut into layers through its depth, each with its own dirt; a settling space is one layer.
The tank is worked out exactly within a step, so that no dirt is lost or made; flow and catch are
those at the start of the step. Arrays have the axes (filter, layer, size).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.filtration.capture.pads import Pad, SettlingSpace, Stage
from aqualib.filtration.capture.recirculation import concentration_after
from aqualib.filtration.capture.settling import basin_settled_fraction
from aqualib.filtration.hydraulics import PumpCurve, pad_clogging

CURVE_POINTS = 129
"""Flows at which the pump and the plumbing are worked out once; between them, straight lines."""
NEARLY_FULL = 0.999
"""Share of its room beyond which a layer's resistance rises no more: the flow is gone by then."""
AS_GOOD_AS_FULL = 0.999
"""A layer takes no more from this share of what it can take."""
TINY = float(np.finfo(float).tiny)
"""Stands in for nothing where it divides."""


@dataclass(frozen=True)
class Circuit:
    """What drives the water: flows, and the head left for the pads at each of them."""

    flows: Any
    spare: Any

    @classmethod
    def of(cls, pump: PumpCurve, losses: Sequence[Callable[[Any], Any]]) -> Circuit:
        """Return the circuit of a pump and the plumbing around the pads, from bare curves."""
        return _circuit(pump, tuple(losses))

    def flow(self, linear: Any, square: Any) -> Any:
        """Return the flow at which pads that take linear Q + square Q² use up the spare head."""
        left = self.spare - self.flows * (linear[:, None] + square[:, None] * self.flows)
        at = np.minimum(np.maximum((left > 0).sum(axis=-1) - 1, 0), CURVE_POINTS - 2)
        rows = np.arange(len(at))
        here, beyond = np.maximum(left[rows, at], 0), left[rows, at + 1]
        drop = np.maximum(here - beyond, TINY)
        return self.flows[at] + self.flows[1] * np.minimum(here / drop, 1)


@lru_cache(maxsize=16)
def _circuit(pump: PumpCurve, losses: tuple[Callable[[Any], Any], ...]) -> Circuit:
    """Return the circuit; the hose's curve takes longer than a filter's weeks."""
    flows = np.linspace(0, pump.maximum_flow, CURVE_POINTS)
    return Circuit(flows, pump.bare(flows) - sum(loss(flows) for loss in losses))


@dataclass(frozen=True)
class Filters:
    """Several filters of equally many stages, as arrays; the kinds of the stages are the same."""

    catch: Any
    """Share of each size that a clean layer holds; of a settling space see `efficiency`."""
    settling: Any
    reach: Any
    cells: Any
    room: Any
    full: Any
    """Dry solids in kg at which a layer takes no more."""
    due: Any
    """1/kg: what dirt in a layer adds to its stage's fullness, where 1 calls for cleaning."""
    linear: Any
    square: Any
    starts: Any
    """The first layer of each stage."""

    @classmethod
    def of(
        cls,
        filters: Sequence[Sequence[Stage]],
        diameters: Any,
        sinking: Any,
        temperature: float,
        salinity: float,
        layers: int,
    ) -> Filters:
        """Return the filters for particles of these diameters (m) that sink so fast (m/s)."""
        known = {stage for stages in filters for stage in stages}
        columns = {
            stage: _space(stage, diameters, sinking)
            if isinstance(stage, SettlingSpace)
            else _layers(stage, diameters, (temperature, salinity), layers)
            for stage in known
        }

        def joined(part: str) -> Any:
            return np.array(
                [
                    np.concatenate([getattr(columns[stage], part) for stage in stages])
                    for stages in filters
                ]
            )

        first = [columns[stage] for stage in filters[0]]
        settling = np.concatenate([column.settling for column in first])
        counts = [len(column.room) for column in first]
        return cls(
            joined("catch"),
            settling,
            joined("reach")[:, settling],
            joined("cells")[:, settling, None],
            joined("room"),
            joined("full"),
            joined("due"),
            joined("linear"),
            joined("square").sum(axis=-1),
            np.cumsum([0, *counts[:-1]]),
        )

    def only(self, at: int) -> Filters:
        """Return one of the filters alone."""
        of_each = {
            part: getattr(self, part)[at : at + 1]
            for part in (field.name for field in fields(self))
            if part not in {"settling", "starts"}
        }
        return replace(self, **of_each)

    def efficiency(self, flow: Any, mass: Any) -> Any:
        """Return the share that each layer holds of each size now; a full one holds nothing."""
        open_yet = (mass < AS_GOOD_AS_FULL * self.full)[:, :, None]
        held = self.catch * open_yet
        if self.reach.size:
            rising = np.maximum(flow, TINY)[:, None, None]
            settled = basin_settled_fraction.bare(self.reach, rising, self.cells)
            held[:, self.settling] = open_yet[:, self.settling] * settled
        return held

    def filled(self, mass: Any) -> Any:
        """Return the share of each layer's room that is full, never quite one."""
        return np.minimum(mass / self.room, NEARLY_FULL)

    def resistance(self, filled: Any) -> Any:
        """Return what each layer takes of the head for each m³/s, in slow flow."""
        return self.linear * pad_clogging.bare(filled, 1.0)

    def fullness(self, mass: Any) -> Any:
        """Return how full each stage is; at 1 it is due for cleaning."""
        return self.by_stage(mass * self.due)

    def by_stage(self, of_layers: Any, axis: int = -1) -> Any:
        """Return sums over the layers of each stage."""
        return np.add.reduceat(of_layers, self.starts, axis=axis)


class _Column(NamedTuple):
    """What the layers of one stage add to the arrays."""

    catch: Any
    settling: Any
    reach: Any
    cells: Any
    room: Any
    full: Any
    due: Any
    linear: Any
    square: Any


def _space(space: SettlingSpace, diameters: Any, sinking: Any) -> _Column:
    """Return the numbers of a settling space, which is one layer."""
    none, room = np.zeros(1), np.array([space.room])
    reach = np.maximum(sinking, 0) * space.bare.area
    return _Column(
        catch=np.zeros((1, len(diameters))),
        settling=np.array([True]),
        reach=reach[None],
        cells=np.array([space.bare.cells]),
        room=room,
        full=room,
        due=1 / (AS_GOOD_AS_FULL * room),
        linear=none,
        square=none,
    )


def _layers(pad: Pad, diameters: Any, water: tuple[float, float], count: int) -> _Column:
    """Return the numbers of a pad's layers."""
    size, none = pad.bare, np.zeros((count, len(diameters)))
    thick = np.diff(pad.layer_edges(count))
    room = pad.room * thick / size.depth
    face = np.arange(count) < pad.layers_in_face(count)
    clean = pad.resistance(*water, thick)
    return _Column(
        catch=pad.layer_efficiency(diameters, thick[:, None]),
        settling=np.zeros(count, dtype=bool),
        reach=none,
        cells=np.ones(count),
        room=room,
        full=room * size.full_share,
        due=face / pad.capacity,
        linear=clean.linear,
        square=clean.square,
    )


class Tank(NamedTuple):
    """What makes the dirt: kg/s of each size into so much water (m³), and the loss there (1/s).

    Without a volume it enters the filter directly, and what the filter does not hold is passed on.
    """

    made: Any
    volume: float | None
    loss: float


@dataclass
class Dirt:
    """Where the dirt is, in kg: caught in (filter, layer, size), the rest in (filter, size)."""

    caught: Any
    afloat: Any
    passed: Any
    lost: Any

    @classmethod
    def none(cls, shape: tuple[int, ...]) -> Dirt:
        """Return clean filters and clean water."""
        water = (shape[0], shape[2])
        return cls(np.zeros(shape), np.zeros(water), np.zeros(water), np.zeros(water))


class Shares(NamedTuple):
    """Of what reaches the filter: the share each layer takes, and the share that is held in all."""

    by_layer: Any
    total: Any

    @classmethod
    def of(cls, held: Any) -> Shares:
        """Return the shares for layers that each hold so much of what reaches them."""
        left = np.multiply.accumulate(1 - held, axis=1)
        share = held.copy()
        share[:, 1:] *= left[:, :-1]
        return cls(share, 1 - left[:, -1])


def advance(dirt: Dirt, shares: Shares, flow: Any, tank: Tank, seconds: Any) -> Dirt:
    """Return the dirt after some seconds, one number or one for each filter, at this flow."""
    share, total = shares
    span = np.asarray(seconds)[..., None]
    entered = tank.made * span
    if tank.volume is None:
        caught = dirt.caught + share * entered[..., None, :]
        return Dirt(caught, dirt.afloat, dirt.passed + (1 - total) * entered, dirt.lost)
    # Two ways out of the tank: through the filter, and by itself.
    filtered = flow[:, None] * total
    leaving = filtered + tank.loss * tank.volume
    after = concentration_after.bare(
        dirt.afloat / tank.volume, tank.made, leaving, 1.0, tank.volume, span
    )
    # What is gone from the water is in the layers or lost, to the last digit.
    present = dirt.afloat + entered
    gone = np.maximum(present - tank.volume * after, 0) * (leaving > 0)
    to_filter = gone * filtered / np.maximum(leaving, TINY)
    per_catch = to_filter / np.maximum(total, TINY)
    return Dirt(
        dirt.caught + share * per_catch[:, None],
        present - gone,
        dirt.passed,
        dirt.lost + gone - to_filter,
    )
