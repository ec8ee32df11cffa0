"""Stages: the share of each size a pad holds, loads shared out, and how long a stage lasts."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.arguments import plain_number
from aqualib.edge import model, public
from aqualib.filtration.capture.settling import SINKING_SIZES
from aqualib.filtration.hydraulics.packed_bed import BED_DEPTHS
from aqualib.units import Amount, Number, Q
from aqualib.validity import Range, ValidityError

TOTALS = Range(0, 1)
SHARES = Range(0, 1)
INLETS = Range(0, float("inf"))
COUNTS = Range(1, 100, whole=True)


class StagedLoads(NamedTuple):
    """What each stage takes and what leaves, in the unit of the inlet."""

    loads: Any
    by_size: Any
    outlet: Any


@public(returns="", sources=())
def grade_efficiency(
    diameter: Annotated[Amount, SINKING_SIZES],
    cut_size: Annotated[Amount, SINKING_SIZES],
    sharpness: Annotated[Number, Range(0.1, 10)] = 2.0,
    depth_ratio: Annotated[Number, Range(0, 1000)] = 1.0,
    aperture: Annotated[Amount | None, SINKING_SIZES] = None,
) -> Number:
    """Return the share of particles of one size that a pad holds in one pass, a plain fraction.

    A pad is no sieve with one hole: it holds half of what has its cut size, less of what is finer.

    Equation: E = 1 - exp(-λ L), with λ L = ln 2 (d / d50)^m (L / L0); E = 1 from the widest hole
    up.

    diameter: Of the particle.
    cut_size: d50, the particle of which half is held.
    sharpness: m.
    depth_ratio: L / L0, the pad's depth over the one for which d50 is meant.
    aperture: The widest hole; None for no sieving.
    Returns: 0 to 1.
    Source: assumed shape; the exponent 2 goes with interception by fibres.
    Validity: no cut size of an aquarium pad has been published: they are assumed, and a fit to
        your own pad is better.

    >>> round(grade_efficiency(Q(40, "um"), Q(80, "um")), 3)
    0.159
    """
    strength = np.log(2.0) * (diameter / cut_size) ** sharpness * depth_ratio
    held = -np.expm1(-strength)
    if aperture is None:
        return held
    return np.where(np.asarray(diameter) >= aperture, 1.0, held)[()]


def staged_loads(inlet: Any, efficiencies: Any) -> StagedLoads:
    """Return what each stage takes of an inlet, by stage and size, and what leaves.

    `inlet` is an amount for each size, a plain array or a quantity; the loads come back in its
    unit. `efficiencies` are shares from 0 to 1, a row for each stage in the water's order and a
    number for each size. The order of the stages changes the loads and never what leaves.
    """
    amount, unit = getattr(inlet, "magnitude", inlet), getattr(inlet, "units", None)
    reaching = np.atleast_1d(plain_number("inlet", amount, INLETS))
    rows = np.atleast_2d(plain_number("efficiencies", efficiencies, SHARES))
    if reaching.ndim != 1 or rows.ndim != 2 or rows.shape[1] not in (1, len(reaching)):
        valid = f"rows of {len(reaching)} shares, one for each size of the inlet"
        why = "do not fit the inlet"
        raise ValidityError("efficiencies", f"shape {rows.shape}", valid, "", why)
    by_size = []
    for held in rows:
        by_size.append(reaching * held)
        reaching = reaching - by_size[-1]
    loads = StagedLoads(np.sum(by_size, axis=-1), np.array(by_size), reaching)
    return loads if unit is None else StagedLoads(*(Q(part, str(unit)) for part in loads))


def _check_stage(stages: Any, stage: Any, **_: Any) -> None:
    if np.any(np.asarray(stage) > np.asarray(stages)):
        why = "is beyond the last stage"
        raise ValidityError("stage", "the number", "1 to the number of stages", "", why)


@public(returns="", sources=(), together=_check_stage)
def equal_load_efficiency(
    total: Annotated[Number, TOTALS],
    stages: Annotated[Number, COUNTS],
    stage: Annotated[Number, COUNTS],
) -> Number:
    """Return the share that one stage must hold for all to fill alike, as a plain fraction.

    Later stages see less dirt and must hold a larger share of it: hence coarse first, fine last.

    Equation: E_i = (E_T / n) / (1 - (i - 1) E_T / n).

    total: E_T, held by all stages together.
    stages: n.
    stage: i, 1 for the first in the water's way.
    Returns: 0 to 1.
    Raises: the stage is beyond the last.
    Source: the mass balance of stages that each take the same.
    Validity: one size of particle, or the average over all.

    >>> [round(equal_load_efficiency(0.9, 3, i), 3) for i in (1, 2, 3)]
    [0.3, 0.429, 0.75]
    """
    each = total / stages
    return each / (1.0 - (stage - 1.0) * each)


@model(returns="")
def equal_load_efficiencies(
    total: Annotated[float, TOTALS], stages: Annotated[int, COUNTS]
) -> Number:
    """Return the share that each stage must hold for all to fill alike, in the water's order.

    >>> equal_load_efficiencies(0.9, 3).round(3)
    array([0.3  , 0.429, 0.75 ])
    """
    return equal_load_efficiency.bare(total, stages, np.arange(stages) + 1)


@public(returns="day", sources=())
def time_to_limit(
    area: Annotated[Amount, Range(1, 1e6, "cm**2")],
    depth: Annotated[Amount, BED_DEPTHS],
    deposit_limit: Annotated[Number, Range(0, 1)],
    deposit_density: Annotated[Amount, Range(1, 2000, "kg/m**3")],
    flow: Annotated[Amount, Range(0.001, 1e6, "L/h")],
    concentration: Annotated[Amount, Range(1e-6, 1e5, "mg/L")],
    efficiency: Annotated[Number, Range(1e-6, 1)],
) -> Number:
    """Return how long a stage takes to fill to its limit, in days.

    Twice the area lasts twice as long, and so does half the dirt.

    Equation: t = A L σ_max ρ_d / (Q C E).

    deposit_limit: σ_max, wet dirt per volume of the stage.
    deposit_density: ρ_d, dry solids per volume of wet dirt; see `fine_pad_deposit_density`.
    concentration: C, reaching the stage.
    efficiency: E, the share it holds.
    Source: the mass balance of a stage.
    Validity: flow, dirt and catch that stay the same; see `capture` for a tank in which they do
        not.

    >>> pad = {"area": Q(400, "cm**2"), "depth": Q(40, "mm"), "deposit_limit": 0.5}
    >>> dirt = {"deposit_density": Q(40, "kg/m**3"), "concentration": Q(5, "mg/L")}
    >>> time_to_limit(**pad, **dirt, flow=Q(1000, "L/h"), efficiency=0.5).round(3)
    <Quantity(0.533, 'day')>
    """
    room = area * depth * deposit_limit * deposit_density
    return room / (flow * concentration * efficiency)
