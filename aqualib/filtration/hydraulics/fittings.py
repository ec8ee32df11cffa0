"""Fittings: bends, valves, ends and changes of bore, each worth some length of hose."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.arguments import one_by_one
from aqualib.edge import public
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.hose import BORES, FLOWS, pipe_velocity
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError

# Loss coefficients that are the same at any size, and those that are a number times f_T.
ENDS = {"entrance": 0.5, "exit": 1.0}
LENGTHS = {"elbow": 30.0, "ball valve": 3.0}


@public(returns="m", sources=("TP410",))
def fitting_head_loss(
    flow: Annotated[Amount, FLOWS],
    bore: Annotated[Amount, BORES],
    loss_coefficient: Annotated[Number, Range(0, 1000)],
) -> Any:
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
) -> Any:
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


def _narrowing(before: float, after: float) -> float:
    from fluids.fittings import contraction_sharp

    return float(contraction_sharp(before, after))


def _check_narrower(bore_before: Any, bore_after: Any) -> None:
    if np.any(np.asarray(bore_after) > np.asarray(bore_before)):
        why = "is wider than the bore before it; use expansion_coefficient"
        raise ValidityError("bore_after", "the bore", "not more than bore_before", "", why)


def _check_wider(bore_before: Any, bore_after: Any) -> None:
    if np.any(np.asarray(bore_after) < np.asarray(bore_before)):
        why = "is narrower than the bore before it; use contraction_coefficient"
        raise ValidityError("bore_after", "the bore", "not less than bore_before", "", why)


@public(returns="", sources=("fluids",), together=_check_narrower)
def contraction_coefficient(
    bore_before: Annotated[Amount, BORES],
    bore_after: Annotated[Amount, BORES],
) -> Any:
    """Return the loss coefficient of a sharp step to a narrower bore, as a plain number.

    A reducer costs little in itself; the faster water behind it costs much.

    Equation: K by Rennels, as coded in the library fluids; it belongs to the bore after the step.

    Returns: For the velocity in `bore_after`.
    Raises: the pipe widens.
    Source: fluids, function contraction_sharp.
    Validity: a square step in tumbling flow.

    >>> round(contraction_coefficient(Q(16, "mm"), Q(12, "mm")), 3)
    0.294
    """
    return one_by_one(_narrowing, bore_before, bore_after)


@public(returns="", sources=(), together=_check_wider)
def expansion_coefficient(
    bore_before: Annotated[Amount, BORES],
    bore_after: Annotated[Amount, BORES],
) -> Any:
    """Return the loss coefficient of a sudden step to a wider bore, as a plain number.

    Water shooting from a narrow spout into a wide pipe loses more than half its motion.

    Equation: K = (1 - (D1 / D2)²)², of Borda and Carnot; it belongs to the bore before the step.

    Returns: For the velocity in `bore_before`.
    Raises: the pipe narrows.
    Source: a momentum balance.
    Validity: tumbling flow.

    >>> round(expansion_coefficient(Q(0.5, "m"), Q(1, "m")), 4)
    0.5625
    """
    return (1.0 - (bore_before / bore_after) ** 2) ** 2


def _bending(bore: float, radii: float, factor: float, angle: float) -> float:
    from fluids.fittings import bend_rounded

    return float(bend_rounded(bore, np.degrees(angle), fd=factor, bend_diameters=radii))


@public(returns="", sources=("fluids",))
def bend_coefficient(
    bore: Annotated[Amount, BORES],
    bend_radius: Annotated[Number, Range(0.5, 100)],
    friction: Annotated[Number, Range(0.001, 0.2)],
    angle: Annotated[Amount, Range(1, 180, "degree")] = np.pi / 2.0,
) -> Any:
    """Return the loss coefficient of a smooth bend in a hose, as a plain number.

    A hose laid in a wide curve loses less than half of what an elbow takes.

    Equation: K by Rennels, as coded in the library fluids, from bend radius over bore, angle and
    friction factor.

    bend_radius: Radius of the middle line of the bend, in bores.
    friction: Of the straight hose, from `friction_factor`.
    Returns: Friction along the bend included.
    Source: fluids, function bend_rounded.
    Validity: a bend that keeps its round bore; a kink is a valve.

    >>> round(bend_coefficient(Q(16, "mm"), 5, 0.0255), 3)
    0.325
    """
    return one_by_one(_bending, bore, bend_radius, friction, angle)
