"""The panels of lesson 06: the flow a pump really delivers, and what clean and dirty do to it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.capture import pad
from aqualib.filtration.capture.pads import GRADES
from aqualib.filtration.hydraulics import (
    PumpCurve,
    cost_per_year,
    energy_per_year,
    fitting_coefficient,
    fitting_head_loss,
    hose_head_loss,
    pad_clogging,
)
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.loop import crossing
from aqualib.lesson.charts.clean_to_dirty import CleanToDirty
from aqualib.lesson.charts.pump_and_loop import PumpAndLoop
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import LITRES_PER_HOUR, number, shown
from aqualib.water.properties import density, dynamic_viscosity

KELVIN = 298.15
POINTS = 33
ENDS = fitting_coefficient.bare("entrance", 0.016) + fitting_coefficient.bare("exit", 0.016)


@dataclass(frozen=True, slots=True)
class Loop:
    """Hoses, fittings, media and lift, in SI base units; `media` adds their dirt."""

    bore: float
    length: float
    elbows: float
    lift: float

    def hose(self, flow: Any) -> Any:
        """Return the head that the hoses take, in m."""
        return hose_head_loss.bare(
            flow, self.bore, self.length, KELVIN, parameter("hose_roughness").bare
        )

    def fittings(self, flow: Any) -> Any:
        """Return the head that entrance, bends and exit take, in m."""
        return fitting_head_loss.bare(flow, self.bore, ENDS + self.elbows * elbow(self.bore))

    def plumbing(self, flow: Any) -> Any:
        """Return the head of all but the media, in m."""
        return self.lift + self.hose(flow) + self.fittings(flow)


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
def plumbing_curve(loop: Loop, maximum_flow: float) -> tuple[Any, Any]:
    """Return flows from none to the greatest (m³/s), and the head of the plumbing at each (m)."""
    flows = np.linspace(0.0, maximum_flow, POINTS)
    return flows, loop.plumbing(flows)


def delivered(pump: PumpCurve, loop: Loop, pores: float) -> float:
    """Return the flow in m³/s at which the pump's curve crosses the loop's."""
    return crossing(pump, lambda flow: float(loop.plumbing(flow) + media_head(flow, pores)))


@dataclass(frozen=True, slots=True)
class Delivery:
    """What a pump delivers: flows in L/h, heads in m, bore in mm, length in m."""

    rated_flow: float
    rated_head: float
    bore: float
    length: float
    elbows: float
    pores: float
    clogging: float
    flow: float
    head: float
    clean_flow: float
    clean_head: float
    lift: float
    hose: float
    fittings: float
    media: float
    flows: Any
    pump_heads: Any
    loop_heads: Any
    clean_heads: Any


def compute_delivery(
    bore: float,
    length: float,
    lift: float,
    pores: float,
    elbows: float,
    rated_flow: float,
    rated_head: float,
) -> Delivery:
    """Cross the pump's curve with the loop's, clean and dirty; SI numbers in."""
    pump = PumpCurve(rated_head, rated_flow)
    loop = Loop(bore, length, elbows, lift)
    flows, plumbing = plumbing_curve(loop, rated_flow)
    flow, clean = delivered(pump, loop, pores), delivered(pump, loop, 0.0)
    return Delivery(
        rated_flow=rated_flow * LITRES_PER_HOUR,
        rated_head=rated_head,
        bore=1000.0 * bore,
        length=length,
        elbows=elbows,
        pores=100.0 * pores,
        clogging=clogging(pores),
        flow=flow * LITRES_PER_HOUR,
        head=float(pump.bare(flow)),
        clean_flow=clean * LITRES_PER_HOUR,
        clean_head=float(pump.bare(clean)),
        lift=min(lift, rated_head),
        hose=float(loop.hose(flow)),
        fittings=float(loop.fittings(flow)),
        media=float(media_head(flow, pores)),
        flows=flows * LITRES_PER_HOUR,
        pump_heads=pump.bare(flows),
        loop_heads=plumbing + media_head(flows, pores),
        clean_heads=plumbing + media_head(flows, 0.0),
    )


def describe_delivery(delivery: Delivery) -> str:
    """Say what the picture shows."""
    box = (
        f"The box says {shown(delivery.rated_flow, 'L/h')} and {shown(delivery.rated_head, 'm')}. "
        f"Through {shown(delivery.length, 'm')} of hose of {shown(delivery.bore, 'mm')} with "
        f"{number(delivery.elbows)} sharp bends, and media with {number(delivery.pores)} % of "
        "their pores full, "
    )
    if delivery.flow <= 0.0:
        return f"{box}nothing flows: the pump cannot lift water by {shown(delivery.lift, 'm')}."
    share = 100.0 * delivery.flow / delivery.rated_flow
    return (
        f"{box}{shown(delivery.flow, 'L/h')} flow: {number(share, 2)} % of the box. The hose takes "
        f"{shown(delivery.hose, 'm', 2)} of head, the fittings {shown(delivery.fittings, 'm', 2)}, "
        f"the media {shown(delivery.media, 'm', 2)}, the lift {shown(delivery.lift, 'm', 2)}. "
        f"With clean media it would be {shown(delivery.clean_flow, 'L/h')}."
    )


def answer_delivery(delivery: Delivery) -> tuple[str, str]:
    """Give the highlighted number: the flow that arrives."""
    return "Flow really delivered", shown(delivery.flow, "L/h")


def loop_controls() -> dict[str, Control]:
    """Return the controls of the loop, which both panels share."""
    return {
        "bore": Slider("Bore of the hose", "hose_bore", 1.0),
        "length": Slider("Length of both hoses", "hose_length", 0.5),
        "lift": Slider("Outlet above the water", "outlet_lift", 0.05),
        "pores": Slider("Pores full of dirt", "pores_filled", 1.0),
        "elbows": Slider("Sharp bends", "hose_elbows", 1.0),
        "rated_flow": Slider("Flow on the box", "pump_rated_flow", 50.0),
        "rated_head": Slider("Head on the box", "pump_rated_head", 0.1),
    }


def pump_panel() -> Panel:
    """Return the first panel: the pump against the loop."""
    return Panel(
        "What flow do I really get?",
        loop_controls(),
        compute_delivery,
        PumpAndLoop(),
        describe_delivery,
        answer_delivery,
    )


@dataclass(frozen=True, slots=True)
class Year:
    """Flow from clean to dirty, and what a year costs: L/h, percent, turnovers an hour, kWh."""

    delivery: Delivery
    fillings: Any
    fall: Any
    litres: float
    turnover: float
    rated_turnover: float
    energy: float
    cost: float
    power: float

    @property
    def share(self) -> float:
        """The flow over the clean flow."""
        clean = self.delivery.clean_flow
        return self.delivery.flow / clean if clean else 0.0


def compute_year(volume: float, power: float, price: float, **rest: float) -> Year:
    """Follow the flow as the media fill, and add up a year; SI numbers in."""
    delivery = compute_delivery(**rest)
    loop = Loop(*(rest[name] for name in ("bore", "length", "elbows", "lift")))
    fillings, fall = fall_of_flow(PumpCurve(rest["rated_head"], rest["rated_flow"]), loop)
    litres = 1000.0 * volume
    return Year(
        delivery=delivery,
        fillings=fillings,
        fall=fall,
        litres=litres,
        turnover=delivery.flow / litres,
        rated_turnover=delivery.rated_flow / litres,
        energy=float(energy_per_year.bare(power) / 3.6e6),
        cost=float(cost_per_year.bare(power, price)),
        power=power,
    )


@lru_cache(maxsize=64)
def fall_of_flow(pump: PumpCurve, loop: Loop) -> tuple[Any, Any]:
    """Return percents of the pores filled and the flow in L/h at each.

    The other way round it is easy: a flow leaves so much head for the media, which tells how hard
    they are to pass, and so how full they are.
    """
    slow, fast = clean_media()
    clean = delivered(pump, loop, 0.0)
    if not clean:
        return np.array([0.0, 100.0]), np.zeros(2)
    # Small steps at both ends, where the curve bends.
    flow = clean * (1.0 - 0.99 * (1.0 - np.cos(np.linspace(0.0, np.pi, 60))) / 2.0)
    spare = pump.bare(flow) - loop.plumbing(flow) - fast * flow**2
    harder = np.maximum(spare / (slow * flow), 1.0)
    return 100.0 * (1.0 - harder ** (-1.0 / 3.0)), flow * LITRES_PER_HOUR


def describe_year(year: Year) -> str:
    """Say what the picture shows."""
    delivery = year.delivery
    rule = parameter("turnover_rule")
    place = (
        "below" if year.turnover < rule.low else "above" if year.turnover > rule.high else "within"
    )
    clean = (
        "time to clean"
        if year.share < parameter("least_flow_share").value
        else "not yet time to clean"
    )
    return (
        f"With {number(delivery.pores)} % of the pores full the flow is "
        f"{shown(delivery.flow, 'L/h')}, {number(100.0 * year.share, 2)} % of the clean flow: "
        f"{clean}. {shown(year.litres, 'L')} of tank water pass {number(year.turnover, 2)} times "
        f"an hour, where the box would say {number(year.rated_turnover, 2)}; that is {place} the "
        f"rule of the trade. A pump of {number(year.power)} W uses {number(year.energy)} kWh a "
        f"year, which costs {year.cost:.2f} at your price."
    )


def answer_year(year: Year) -> tuple[str, str]:
    """Give the highlighted number: the turnover that arrives."""
    return "Turnover really delivered", f"{number(year.turnover, 2)} times an hour"


def turnover_panel() -> Panel:
    """Return the second panel: from clean to dirty, the turnover, and the bill."""
    loop = loop_controls()
    controls: dict[str, Control] = {
        "pores": loop.pop("pores"),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "power": Slider("Power of the pump", "pump_power", 1.0),
        "price": Slider("Price of one kWh", "electricity_price", 0.01),
        **loop,
    }
    return Panel(
        "From clean to dirty",
        controls,
        compute_year,
        CleanToDirty(),
        describe_year,
        answer_year,
    )
