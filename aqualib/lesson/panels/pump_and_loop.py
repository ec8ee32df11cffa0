"""The first panel of lesson 04: the flow that a pump really delivers through its loop."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.capture import pad
from aqualib.filtration.capture.pads import GRADES
from aqualib.filtration.hydraulics import (
    PumpCurve,
    fitting_coefficient,
    fitting_head_loss,
    hose_head_loss,
    pad_clogging,
)
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.loop import crossing
from aqualib.lesson.charts.pump_and_loop import Delivery, PumpAndLoop
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import from_si, number, shown
from aqualib.water.properties import density, dynamic_viscosity

KELVIN = parameter("tank_temperature").bare
POINTS = 33
DUE = 100.0 * parameter("pad_deposit_limit").value
"""Percent of the pores; the panels open where the pads are due."""
ENDS = sum(
    fitting_coefficient.bare(end, parameter("hose_bore").bare) for end in ("entrance", "exit")
)
"""Loss coefficient of the hose's two ends, the same for every bore."""
CANISTER_BORE = parameter("hose_bore").bare
"""Bore (m) to whose speed the losses of valves, strainer, baskets and spray bar are told."""


@dataclass(frozen=True, slots=True)
class Loop:
    """Hoses, fittings, the canister's own parts and lift, in SI base units."""

    bore: float
    length: float
    elbows: float
    lift: float
    canister: float
    """Loss coefficient of valves, strainer, baskets and spray bar."""

    def hose(self, flow: Any) -> Any:
        """Return the head that the hoses take, in m."""
        return hose_head_loss.bare(
            flow, self.bore, self.length, KELVIN, parameter("hose_roughness").bare
        )

    def fittings(self, flow: Any) -> Any:
        """Return the head that entrance, bends and exit take, in m."""
        return fitting_head_loss.bare(flow, self.bore, ENDS + self.elbows * elbow(self.bore))

    def parts(self, flow: Any) -> Any:
        """Return the head that valves, strainer, baskets and spray bar take, in m."""
        return fitting_head_loss.bare(flow, CANISTER_BORE, self.canister)

    def plumbing(self, flow: Any) -> Any:
        """Return the head of all but the media, in m."""
        return self.lift + self.hose(flow) + self.fittings(flow) + self.parts(flow)


@lru_cache(maxsize=256)
def elbow(bore: float) -> float:
    """Return the loss coefficient of a sharp bend of this bore."""
    return float(fitting_coefficient.bare("elbow", bore))


@lru_cache(maxsize=1)
def clean_media() -> tuple[float, float]:
    """Return a and b of the head a Q + b Q² that the three clean pads take, in SI units."""
    weight = density.bare(KELVIN, 0.0) * GRAVITY
    thick = dynamic_viscosity.bare(KELVIN, 0.0)
    width, depth = parameter("filter_width"), parameter("filter_pad_depth")
    area = np.pi / 4.0 * width.quantity**2
    pads = [pad(grade, area, depth.quantity).bare for grade in GRADES]
    slow = sum(thick * p.depth / (p.permeability * p.area * weight) for p in pads)
    fast = sum(p.depth / (p.inertial_permeability * p.area**2 * GRAVITY) for p in pads)
    return float(slow), float(fast)


def media_head(flow: Any, pores: float) -> Any:
    """Return the head in m that the pads take when this share of their room is full."""
    slow, fast = clean_media()
    return slow * clogging(pores) * flow + fast * flow**2


def clogging(pores: float) -> float:
    """Return how many times harder the pads are to pass than clean."""
    voidage = parameter("pad_voidage").bare
    return float(pad_clogging.bare(pores * voidage, voidage))


@lru_cache(maxsize=64)
def plumbing_curve(loop: Loop, maximum_flow: float) -> tuple[Array, Array]:
    """Return flows from none to the greatest (m³/s), and the head of the plumbing at each (m)."""
    flows = np.linspace(0.0, maximum_flow, POINTS)
    return flows, loop.plumbing(flows)


def delivered(pump: PumpCurve, loop: Loop, pores: float) -> float:
    """Return the flow in m³/s at which the pump's curve crosses the loop's."""
    return crossing(pump, lambda flow: float(loop.plumbing(flow) + media_head(flow, pores)))


def compute(
    bore: float,
    length: float,
    lift: float,
    pores: float,
    canister: float,
    elbows: float,
    rated_flow: float,
    rated_head: float,
) -> Delivery:
    """Cross the pump's curve with the loop's, clean and dirty; SI numbers in."""
    pump = PumpCurve(rated_head, rated_flow)
    loop = Loop(bore, length, elbows, lift, canister)
    flows, plumbing = plumbing_curve(loop, rated_flow)
    flow, clean = delivered(pump, loop, pores), delivered(pump, loop, 0.0)
    return Delivery(
        rated_flow=from_si(rated_flow, "L/h"),
        rated_head=rated_head,
        bore=from_si(bore, "mm"),
        length=length,
        elbows=elbows,
        pores=from_si(pores, "percent"),
        flow=from_si(flow, "L/h"),
        head=float(pump.bare(flow)),
        clean_flow=from_si(clean, "L/h"),
        clean_head=float(pump.bare(clean)),
        lift=min(lift, rated_head),
        lift_set=lift,
        hose=float(loop.hose(flow)),
        fittings=float(loop.fittings(flow)),
        canister=float(loop.parts(flow)),
        media=float(media_head(flow, pores)),
        flows=from_si(flows, "L/h"),
        pump_heads=pump.bare(flows),
        loop_heads=plumbing + media_head(flows, pores),
        clean_heads=plumbing + media_head(flows, 0.0),
    )


def describe(delivery: Delivery) -> str:
    """Say what the picture shows."""
    if delivery.flow <= 0.0:
        lift = shown(delivery.lift_set, "m")
        return f"Nothing flows: the pump cannot lift water by {lift}. Lower the outlet."
    parts = {name: getattr(delivery, name) for name in ("media", "canister", "hose", "fittings")}
    lost = ", ".join(f"{name} {shown(head, 'm', 2)}" for name, head in parts.items())
    lift = f", lift {shown(delivery.lift, 'm', 2)}" if delivery.lift else ""
    return (
        f"The pump's head goes to: {lost}{lift}. "
        f"Clean, it would be {shown(delivery.clean_flow, 'L/h')}. "
        f"{alarm(delivery.pores, delivery.flow / delivery.clean_flow)}."
    )


def alarm(pores: float, share: float) -> str:
    """Say whether pads so full (percent) are due, and whether this share of the flow tells it."""
    if pores < DUE:
        return f"The pads are due at {number(DUE)} % full: not yet"
    if share < parameter("least_flow_share").value:
        return f"The pads were due at {number(DUE)} % full; the flow says so late"
    lost = number(100.0 * (1.0 - share), 2)
    return f"Clean the pads, they are {number(pores)} % full; only {lost} % of the flow is lost"


def answer(delivery: Delivery) -> tuple[str, str]:
    """Give the highlighted number: the flow that arrives."""
    share = number(100.0 * delivery.flow / delivery.rated_flow, 2)
    if delivery.flow <= 0.0:
        return "Flow really delivered", "none: lower the outlet"
    return "Flow really delivered", f"{shown(delivery.flow, 'L/h')}, {share} % of the box"


def loop_controls() -> dict[str, Control]:
    """Return the controls of the loop, which both panels share."""
    return {
        "bore": Slider("Bore of the hose", "hose_bore", 1.0),
        "length": Slider("Length of both hoses", "hose_length", 0.5),
        "lift": Slider("Outlet above the water", "outlet_lift", 0.05),
        "pores": Slider("Pores full of dirt", "pores_filled", 1.0, start=DUE),
        "canister": Slider("Valves, strainer, baskets, spray bar", "canister_losses", 1.0),
        "elbows": Slider("Sharp bends", "hose_elbows", 1.0),
        "rated_flow": Slider("Flow on the box", "pump_rated_flow", 50.0),
        "rated_head": Slider("Head on the box", "pump_rated_head", 0.1),
    }


def pump_panel() -> Panel:
    """Return the first panel: the pump against the loop."""
    title = "What flow do I really get?"
    return Panel(title, loop_controls(), compute, PumpAndLoop(), describe, answer)
