"""The first panel of lesson 04: the flow that a pump really delivers through its loop."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.capture import full_to, in_series, pads_in_order
from aqualib.filtration.hydraulics import CanisterLoop, PumpCurve, Resistance, canister_loop
from aqualib.filtration.hydraulics.loop import crossing
from aqualib.lesson.charts.pump_and_loop import Delivery, PumpAndLoop
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import from_si, number, shown

KELVIN = parameter("tank_temperature").bare
POINTS = 33
DUE = 100.0 * parameter("pad_deposit_limit").value
"""Percent of the pores; the panels open where the pads are due."""
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

    def plumbing(self, flow: Any) -> Any:
        """Return the head of all but the media, in m."""
        return self.lift + sum(part.bare(flow) for part in parts_of(self))


@lru_cache(maxsize=256)
def parts_of(loop: Loop) -> CanisterLoop:
    """Return hoses, fittings and the canister's own parts: worked out once for each loop."""
    way = loop.bore, loop.length, loop.elbows
    parts: CanisterLoop = canister_loop.bare(*way, KELVIN, loop.canister, CANISTER_BORE)
    return parts


@lru_cache(maxsize=1)
def clean_media() -> Resistance:
    """Return what the three clean pads take of the head; plain SI numbers."""
    area = np.pi / 4.0 * parameter("filter_width").quantity ** 2
    return in_series(pads_in_order(area, parameter("filter_pad_depth").quantity), KELVIN)


def media_head(flow: Any, pores: float) -> Any:
    """Return the head in m that the pads take when this share of their room is full."""
    slow, fast = clean_media()
    return slow * full_to(pores) * flow + fast * flow**2


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
    parts = parts_of(loop)
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
        hose=float(parts.hose.bare(flow)),
        fittings=float(parts.fittings.bare(flow)),
        canister=float(parts.own_parts.bare(flow)),
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
