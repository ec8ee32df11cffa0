"""Hydraulics: a pump against hose, fittings, media and dirt, and the flow that comes of it."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, NamedTuple, TypeAlias

import numpy as np

from aqualib.arguments import one_number, plain_number, short
from aqualib.edge import PublicFunction, model, public
from aqualib.filtration.hydraulics.fittings import (
    fitting_head_loss,
)
from aqualib.filtration.hydraulics.head import (
    GRAVITY,
)
from aqualib.filtration.hydraulics.hose import (
    LOOP_FLOWS,
    hose_head_loss,
)
from aqualib.filtration.hydraulics.packed_bed import (
    bed_pressure_loss,
)
from aqualib.filtration.hydraulics.pads import pad_pressure_loss
from aqualib.filtration.hydraulics.pump import HEADS, LEAST_FLOW, PumpCurve
from aqualib.units import Amount, Number, Q
from aqualib.validity import Range, Turned, ValidityError
from aqualib.water.properties import density

FLOW_AREAS = Range(1, 1e6, "cm**2")
AnyFunction: TypeAlias = PublicFunction[..., Any]
Curve: TypeAlias = Callable[[Any], Any]


class OperatingPoint(NamedTuple):
    """Where the pump's curve and the system's curve cross."""

    flow: Any
    head: Any


@dataclass(frozen=True, slots=True)
class Loss:
    """A part of the loop: call it with a flow for its head; `.bare` takes m³/s and gives m."""

    name: str
    bare: Callable[[Any], Any]

    def __call__(self, flow: Any) -> Any:
        """Return the head lost at a flow, both with units."""
        return Q(self.bare(plain_number("flow", flow, LOOP_FLOWS)), "m")


def _checked(function: AnyFunction, given: dict[str, Any], by: str) -> dict[str, float]:
    """Return the arguments but `by`, checked by the function's own ranges, in SI base units."""
    known = {name: p.default for name, p in function.signature.parameters.items() if name != by}
    needed = [name for name, default in known.items() if default is inspect.Parameter.empty]
    for name in [*given, *needed]:
        if name not in known or (name in needed and given.get(name) is None):
            why = "is needed" if name in known else f"is no argument of {function.name}"
            raise ValidityError(name, given.get(name), ", ".join(known), "", why)
    rules: dict[str, Any] = function.rules
    return {n: one_number(n, v, rules[n]) for n, v in given.items() if v is not None}


def hose_loss(bore: Any, length: Any, temperature: Any, **rest: Any) -> Loss:
    """Return a hose as a part of the loop; arguments as `hose_head_loss`, without the flow."""
    given = {"bore": bore, "length": length, "temperature": temperature, **rest}
    return Loss("hose", partial(hose_head_loss.bare, **_checked(hose_head_loss, given, "flow")))


def fitting_loss(bore: Any, loss_coefficient: Any, name: str = "fittings") -> Loss:
    """Return fittings as a part of the loop; arguments as `fitting_head_loss`."""
    given = {"bore": bore, "loss_coefficient": loss_coefficient}
    return Loss(name, partial(fitting_head_loss.bare, **_checked(fitting_head_loss, given, "flow")))


def bed_loss(area: Any, name: str = "media", **bed: Any) -> Loss:
    """Return a bed of this area; the rest as `bed_pressure_loss`, without the velocity."""
    return _in_area(area, name, bed_pressure_loss, bed)


def pad_loss(area: Any, name: str = "pad", **pad: Any) -> Loss:
    """Return a pad of this area; the rest as `pad_pressure_loss`, without the velocity."""
    return _in_area(area, name, pad_pressure_loss, pad)


def _in_area(area: Any, name: str, function: AnyFunction, given: dict[str, Any]) -> Loss:
    wide = one_number("area", area, FLOW_AREAS)
    plain = _checked(function, given, "velocity")
    weight = density.bare(plain["temperature"], plain.get("salinity", 0.0)) * GRAVITY

    def head(flow: Any) -> Any:
        return function.bare(flow / wide, **plain) / weight

    return Loss(name, head)


def lift(height: Any) -> Loss:
    """Return the height from the tank's surface up to an outlet that falls free above it."""
    up = one_number("height", height, HEADS)
    return Loss("lift", lambda flow: up + 0.0 * flow)


def system_head(losses: Sequence[Any], flow: Any) -> Any:
    """Return the head that all parts of the loop take together at a flow, in m."""
    plain = plain_number("flow", flow, LOOP_FLOWS)
    return Q(sum(loss(plain) for loss in bare_curves("losses", losses)), "m")


def bare_curves(name: str, curves: Any) -> tuple[Curve, ...]:
    """Return curves on m³/s and m; one without such a twin takes and gives quantities."""
    if not isinstance(curves, list | tuple):
        raise ValidityError(name, short(curves), LOSSES.text, "", "is no list or tuple")
    return tuple(_bare_curve(f"{name}[{n}]", curve) for n, curve in enumerate(curves))


def _bare_curve(name: str, curve: Any) -> Curve:
    if callable(getattr(curve, "bare", None)):
        bare: Curve = curve.bare
        return bare
    if not callable(curve):
        raise ValidityError(name, short(curve), LOSSES.text, "", "is no part of a loop")
    return lambda flow: curve(Q(flow, "m**3/s")).m_as("m")


LOSSES = Turned(bare_curves, "a list of parts such as hose_loss(...)")
"""The parts of a loop, or any functions from flow to head, with units."""


@model(returns={"flow": "L/h", "head": "m"})
def operating_point(pump: PumpCurve, losses: Annotated[Sequence[Curve], LOSSES]) -> OperatingPoint:
    """Return the flow and the head at which a pump runs in its loop.

    One curve falls and the other rises, so they cross once; a library root finder that keeps the
    crossing between two flows finds it. A lift that the pump cannot reach gives no flow.
    """
    flow = crossing(pump, lambda at: sum(part(at) for part in losses))
    return OperatingPoint(flow, float(pump.bare(flow)))


def crossing(pump: PumpCurve, system: Callable[[float], Any]) -> float:
    """Return the flow in m³/s where the pump's head equals the system's, on bare curves."""
    from fluids.numerics import brenth

    def spare(flow: float) -> float:
        return float(pump.bare(flow) - system(flow))

    if spare(0.0) <= 0.0:
        return 0.0
    if spare(pump.maximum_flow) >= 0.0:
        return pump.maximum_flow
    find_root: Any = brenth
    hair = pump.maximum_flow * np.finfo(float).eps
    return float(find_root(spare, 0.0, pump.maximum_flow, xtol=hair))


@public(returns="L/h", sources=())
def filter_flow(
    shut_off_head: Annotated[Amount, HEADS],
    maximum_flow: Annotated[Amount, LEAST_FLOW],
    plumbing_head: Annotated[Amount, HEADS],
    media_head: Annotated[Amount, HEADS],
    rated_flow: Annotated[Amount, LEAST_FLOW],
    clogging: Annotated[Number, Range(1, float("inf"))] = 1.0,
) -> Number:
    """Return the flow through a filter by pencil and paper, in L/h.

    Flow hardly moves until the media are ten times harder to pass, then it falls fast: flow that
    still looks fine is a late sign.

    Equation: H0 (1 - (Q / Qmax)²) = h_p (Q / Q1)² + r h_m Q / Q1, a quadratic equation for Q.

    plumbing_head: h_p, taken by hose and fittings at the rated flow, growing with its square.
    media_head: h_m, taken by the clean media at the rated flow, growing in proportion to it.
    rated_flow: Q1, the flow at which the two heads are known.
    clogging: r, how many times harder to pass the media have become.
    Source: the balance of heads, solved by the formula for quadratic equations.
    Validity: a parabolic pump and a loop that ends at the height where it began; for anything
        else use `operating_point`.

    >>> loop = {"plumbing_head": Q(0.8, "m"), "media_head": Q(0.1, "m")}
    >>> for clogging in (1, 10, 50):
    ...     box = {"shut_off_head": Q(2.2, "m"), "maximum_flow": Q(1200, "L/h")}
    ...     flow = filter_flow(**box, **loop, rated_flow=Q(1000, "L/h"), clogging=clogging)
    ...     print(round(flow.m))
    951
    781
    375
    """
    square = shut_off_head / maximum_flow**2 + plumbing_head / rated_flow**2
    linear = clogging * media_head / rated_flow
    # This form of the solution loses no digits where the media rule.
    below = linear + np.sqrt(linear**2 + 4.0 * square * shut_off_head)
    # Nothing below the line means no head at all: such a pump moves nothing.
    return 2.0 * shut_off_head / np.where(below, below, np.inf)
