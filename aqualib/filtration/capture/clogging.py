"""Clogging: one or many filters at once, step by step through weeks of dirt, on plain SI numbers.

The tank is worked out exactly within a step, so that no dirt is lost or made; flow and catch are
those at the start of the step. Arrays have the axes (filter, stage, size).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from aqualib.filtration.capture.pads import SettlingSpace, Stage
from aqualib.filtration.capture.recirculation import concentration_after
from aqualib.filtration.capture.settling import basin_settled_fraction
from aqualib.filtration.hydraulics import PumpCurve, pad_clogging
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.water.properties import density, dynamic_viscosity

CURVE_POINTS = 129
"""Flows at which the pump and the plumbing are worked out once; between them, straight lines."""
NEARLY_FULL = 0.999
"""Share of its room beyond which a pad's resistance rises no more: the flow is gone by then."""


@dataclass(frozen=True)
class Circuit:
    """What drives the water: flows, and the head left for the pads at each of them."""

    flows: Any
    spare: Any

    @classmethod
    def of(cls, pump: PumpCurve, losses: Sequence[Callable[[Any], Any]]) -> Circuit:
        """Return the circuit of a pump and the plumbing around the pads, from bare curves."""
        flows = np.linspace(0, pump.maximum_flow, CURVE_POINTS)
        return cls(flows, pump.bare(flows) - sum(loss(flows) for loss in losses))

    def flow(self, linear: Any, square: Any) -> Any:
        """Return the flow at which pads that take linear Q + square Q² use up the spare head."""
        left = self.spare - self.flows * (linear[:, None] + square[:, None] * self.flows)
        at = np.minimum(np.maximum((left > 0).sum(axis=-1) - 1, 0), CURVE_POINTS - 2)
        rows = np.arange(len(at))
        here, beyond = np.maximum(left[rows, at], 0), left[rows, at + 1]
        drop = np.maximum(here - beyond, np.finfo(float).tiny)
        return self.flows[at] + self.flows[1] * np.minimum(here / drop, 1)


@dataclass(frozen=True)
class Filters:
    """Several filters of equally many stages, as arrays; the kinds of the stages are the same."""

    catch: Any
    settling: Any
    reach: Any
    cells: Any
    room: Any
    capacity: Any
    voidage: Any
    linear: Any
    square: Any

    @classmethod
    def of(
        cls,
        filters: Sequence[Sequence[Stage]],
        diameters: Any,
        sinking: Any,
        temperature: float,
        salinity: float,
    ) -> Filters:
        """Return the filters for particles of these diameters (m) that sink so fast (m/s)."""
        known = {stage for stages in filters for stage in stages}
        columns = {
            stage: _column(stage, diameters, sinking, temperature, salinity) for stage in known
        }

        def joined(part: str) -> Any:
            return np.array([[getattr(columns[s], part) for s in stages] for stages in filters])

        first = joined("settling")[0]
        return cls(
            joined("catch"),
            first,
            joined("reach")[:, first],
            joined("cells")[:, first, None],
            joined("room"),
            joined("capacity"),
            joined("voidage"),
            joined("linear"),
            joined("square").sum(axis=-1),
        )

    def efficiency(self, flow: Any, mass: Any) -> Any:
        """Return the share that each stage holds of each size now."""
        if not self.settling.any():
            return self.catch
        held = self.catch.copy()
        rising = np.maximum(flow, np.finfo(float).tiny)[:, None, None]
        open_yet = (mass < self.capacity)[:, self.settling, None]
        held[:, self.settling] = open_yet * basin_settled_fraction.bare(
            self.reach, rising, self.cells
        )
        return held

    def clogging(self, mass: Any) -> Any:
        """Return how many times harder each stage is to pass than clean."""
        filled = np.minimum(mass / self.room, NEARLY_FULL)
        return pad_clogging.bare(filled * self.voidage, self.voidage)

    def flow(self, circuit: Circuit, mass: Any) -> Any:
        """Return the flow that the circuit drives through the pads with this dirt in them."""
        return circuit.flow((self.linear * self.clogging(mass)).sum(axis=-1), self.square)


class _Column(NamedTuple):
    """What one stage adds to the arrays."""

    catch: Any
    settling: bool
    reach: Any
    cells: float
    room: float
    capacity: float
    voidage: float
    linear: Any
    square: Any


def _column(
    stage: Stage, diameters: Any, sinking: Any, temperature: float, salinity: float
) -> _Column:
    """Return one stage's numbers: its catch, whether it is a settling space, and the rest."""
    nothing, size = np.zeros_like(diameters), stage.bare
    if isinstance(stage, SettlingSpace):
        reach = np.maximum(sinking, 0) * size.area
        return _Column(nothing, True, reach, size.cells, stage.room, stage.capacity, 1, 0, 0)
    weight = density.bare(temperature, salinity) * GRAVITY
    thick = dynamic_viscosity.bare(temperature, salinity)
    linear = thick * size.depth / (size.permeability * size.area * weight)
    square = size.depth / (size.inertial_permeability * size.area**2 * GRAVITY)
    held = stage.efficiency(diameters)
    return _Column(
        held, False, nothing, 1, stage.room, stage.capacity, size.voidage, linear, square
    )


@dataclass
class Dirt:
    """Where the dirt is: caught in (filter, stage, size), afloat and passed in (filter, size)."""

    caught: Any
    afloat: Any
    passed: Any


def advance(
    dirt: Dirt, held: Any, flow: Any, made: Any, volume: float | None, seconds: float
) -> Dirt:
    """Return the dirt after some seconds at this flow and catch.

    `made` is the solids of each size in kg/s that enter a tank of this volume; without a tank it
    is what enters the filter, and what the filter does not hold is passed on for good.
    """
    left = np.multiply.accumulate(1 - held, axis=1)
    out = left[:, -1]
    share = held.copy()
    share[:, 1:] *= left[:, :-1]
    entered = made * seconds
    if volume is None:
        return Dirt(dirt.caught + share * entered, dirt.afloat, dirt.passed + out * entered)
    total = 1 - out
    after = concentration_after.bare(
        dirt.afloat / volume, made, flow[:, None], total, volume, seconds
    )
    # What is gone from the water is in the stages, to the last digit.
    present = dirt.afloat + entered
    gone = np.maximum(present - volume * after, 0) * (total > 0)
    per_catch = gone / np.maximum(total, np.finfo(float).tiny)
    return Dirt(dirt.caught + share * per_catch[:, None], present - gone, dirt.passed)
