"""Pumps: the head a pump still gives at each flow, from its box or from its printed curve."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.arguments import plain_number
from aqualib.edge import public
from aqualib.filtration.hydraulics.hose import LOOP_FLOWS
from aqualib.units import Amount, Number, Q
from aqualib.validity import Range, ValidityError

HEADS = Range(0, 200, "m")
LEAST_FLOW = Range(0.001, 1e6, "L/h")
PARABOLA = 2.0
"""Exponent of the assumed curve between the two numbers on a box."""


class SimilarPoint(NamedTuple):
    """The same point of a pump's curve at another speed."""

    flow: Any
    head: Any
    power: Any


@public(returns="m", sources=())
def pump_head(
    flow: Annotated[Amount, LOOP_FLOWS],
    shut_off_head: Annotated[Amount, HEADS],
    maximum_flow: Annotated[Amount, LEAST_FLOW],
    exponent: Annotated[Number, Range(0.5, 4)] = PARABOLA,
) -> Number:
    """Return the head that a pump gives at a flow, in m.

    A box promises both the greatest head and the greatest flow; no pump gives them together.

    Equation: H = H0 (1 - (Q / Qmax)^n), with n = 2 for a parabola and 1 for a straight line.

    shut_off_head: H0, the height at which the flow stops.
    maximum_flow: Qmax, the flow with nothing attached.
    Returns: Negative beyond the greatest flow.
    Source: assumed shape.
    Validity: a guess between the two numbers on the box; a printed curve is better, see
        `PumpCurve.from_points`.

    >>> pump_head(Q(500, "L/h"), Q(2, "m"), Q(1000, "L/h")).round(2)
    <Quantity(1.5, 'meter')>
    """
    return shut_off_head * (1.0 - (flow / maximum_flow) ** exponent)


@public(returns={"flow": "L/h", "head": "m", "power": "W"}, sources=("TP410",))
def at_speed(
    flow: Annotated[Amount, LOOP_FLOWS],
    head: Annotated[Amount, HEADS],
    power: Annotated[Amount, Range(0, 1e6, "W")],
    speed_ratio: Annotated[Number, Range(0.01, 10)],
) -> SimilarPoint:
    """Return the flow, head and power of a pump at another speed, in L/h, m and W.

    A pump slowed to half gives half the flow for an eighth of the power.

    Equation: Q2 = Q1 s, H2 = H1 s², P2 = P1 s³, with s the new speed over the old (affinity laws).

    Source: TP410 (documentation quoting it read).
    Validity: the same wheel at similar points; the electronics of small pumps use some watts at
        any speed.

    >>> slow = at_speed(Q(1000, "L/h"), Q(2, "m"), Q(16, "W"), 0.5)
    >>> slow.flow.round(1), slow.power.round(1)
    (<Quantity(500.0, 'liter / hour')>, <Quantity(2.0, 'watt')>)
    """
    return SimilarPoint(flow * speed_ratio, head * speed_ratio**2, power * speed_ratio**3)


@dataclass(frozen=True, slots=True)
class PumpCurve:
    """A pump's curve: call it with a flow for the head; `.bare` takes m³/s and gives m.

    Made by `from_limits` or `from_points`. Straight lines join the points, and the last one goes
    on down to no head, at `maximum_flow` (m³/s).
    """

    shut_off_head: float
    maximum_flow: float
    exponent: float = PARABOLA
    flows: tuple[float, ...] = ()
    heads: tuple[float, ...] = ()

    @classmethod
    def from_limits(
        cls, shut_off_head: Any, maximum_flow: Any, exponent: Any = PARABOLA
    ) -> PumpCurve:
        """Return the curve between the two numbers on the box."""
        rules = pump_head.rules
        given = {
            "shut_off_head": shut_off_head,
            "maximum_flow": maximum_flow,
            "exponent": exponent,
        }
        return cls(**{name: plain_number(name, v, rules[name]) for name, v in given.items()})  # type: ignore[arg-type]

    @classmethod
    def from_points(cls, flows: Any, heads: Any) -> PumpCurve:
        """Return the curve through points in order of rising flow and falling head."""
        x = np.atleast_1d(plain_number("flows", flows, LOOP_FLOWS))
        y = np.atleast_1d(plain_number("heads", heads, HEADS))
        if np.shape(x[:-1]) != np.shape(y[:-1]) or not x[:-1].size or np.ndim(x[0]):
            raise ValidityError("heads", "list", "two or more, as many as flows", "", "is unfit")
        if np.any(np.diff(x) <= 0.0) or np.any(np.diff(y) >= 0.0):
            valid = "flows that rise and heads that fall"
            raise ValidityError("heads", "list", valid, "", "does not fall as the flow rises")
        first, last = _slope(x[:2], y[:2]), _slope(x[-2:], y[-2:])
        x, y = np.append(x, x[-1] - y[-1] / last), np.append(y, 0.0)
        shut_off = float(y[0] - first * x[0])
        if x[0] > 0.0:
            x, y = np.insert(x, 0, 0.0), np.insert(y, 0, shut_off)
        return cls(shut_off, float(x[-1]), flows=tuple(map(float, x)), heads=tuple(map(float, y)))

    def bare(self, flow: Any) -> Any:
        """Return the head in m at a flow in m³/s."""
        if self.flows:
            return np.interp(flow, self.flows, self.heads)
        return pump_head.bare(flow, self.shut_off_head, self.maximum_flow, self.exponent)

    def __call__(self, flow: Any) -> Any:
        """Return the head at a flow, both with units."""
        return Q(self.bare(plain_number("flow", flow, LOOP_FLOWS)), "m")


def _slope(x: Any, y: Any) -> float:
    return float((y[1] - y[0]) / (x[1] - x[0]))
