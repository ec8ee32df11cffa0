"""Fittings: bends, valves, ends and changes of bore, each worth some length of hose."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.arguments import one_by_one
from aqualib.edge import public
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.hose import BORES, LOOP_FLOWS, pipe_velocity
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range

# Loss coefficients that are the same at any size, and those that are a number times f_T.
ENDS = {"entrance": 0.5, "exit": 1.0}
LENGTHS = {"elbow": 30.0, "ball valve": 3.0}


@public(returns="m", sources=("TP410",))
def fitting_head_loss(
    flow: Annotated[Amount, LOOP_FLOWS],
    bore: Annotated[Amount, BORES],
    loss_coefficient: Annotated[Number, Range(0, 1000)],
) -> Number:
    """Return the head lost in fittings, in m of water.

    Each sharp bend throws away about as much as half a metre of hose; they add up.

    Equation: h = K V² / (2 g), with V = 4 Q / (π D²).

    bore: Inside diameter to which the coefficient belongs.
    loss_coefficient: K, or the sum of several; see `fitting_coefficient`.
    Source: TP410 (documentation quoting it read).
    Validity: tumbling flow, Re above about 4000; in slow flow K grows.

    >>> fitting_head_loss(Q(1000, "L/h"), Q(16, "mm"), 1.5).round(3)
    <Quantity(0.146, 'meter')>
    """
    return loss_coefficient * pipe_velocity(flow, bore) ** 2 / (2.0 * GRAVITY)


def _fully_rough(bore: float) -> float:
    from fluids.friction import ft_Crane

    return float(ft_Crane(bore))


@public(returns="", sources=("TP410", "fluids"))
def fitting_coefficient(
    kind: Annotated[str, OneOf((*ENDS, *LENGTHS), "TP410")],
    bore: Annotated[Amount, BORES],
) -> Number:
    """Return the loss coefficient of a common fitting, as a plain number.

    The jet at the outlet alone throws away one whole V² / (2 g).

    Equation: K = 0.5 for a sharp entrance, 1 for an exit, 30 f_T for a 90° elbow, 3 f_T for a
    ball valve, with f_T the friction factor of steel pipe of this bore in very fast flow.

    Source: TP410 (documentation quoting it read); f_T as in fluids, function ft_Crane.
    Validity: pipe fittings of the trade; small moulded ones may differ by half.

    >>> round(fitting_coefficient("elbow", Q(16, "mm")), 3)
    0.764
    """
    if kind in ENDS:
        return np.broadcast_to(ENDS[kind], np.shape(bore))[()]
    return LENGTHS[kind] * one_by_one(_fully_rough, bore)
