"""The second panel of lesson 04: the flow from clean to dirty, the turnover, and the bill."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from aqualib.filtration.hydraulics import PumpCurve, cost_per_year, energy_per_year
from aqualib.lesson.charts.clean_to_dirty import CleanToDirty, Year
from aqualib.lesson.controls import Control, Slider
from aqualib.lesson.drawing.shapes import Array
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.pump_and_loop import (
    DUE,
    Loop,
    clean_media,
    delivered,
    loop_controls,
)
from aqualib.parameters import parameter
from aqualib.units import from_si, number, shown


def compute(
    bore: float,
    length: float,
    lift: float,
    pores: float,
    canister: float,
    elbows: float,
    rated_flow: float,
    rated_head: float,
    volume: float,
    power: float,
    price: float,
) -> Year:
    """Follow the flow as the media fill, and add up a year; SI numbers in."""
    pump, loop = PumpCurve(rated_head, rated_flow), Loop(bore, length, elbows, lift, canister)
    fillings, fall = fall_of_flow(pump, loop)
    return Year(
        pores=from_si(pores, "percent"),
        rated_flow=from_si(rated_flow, "L/h"),
        clean_flow=from_si(delivered(pump, loop, 0.0), "L/h"),
        flow=from_si(delivered(pump, loop, pores), "L/h"),
        fillings=fillings,
        fall=fall,
        litres=from_si(volume, "L"),
        energy=from_si(float(energy_per_year.bare(power)), "kW*h"),
        cost=float(cost_per_year.bare(power, price)),
        power=power,
    )


@lru_cache(maxsize=64)
def fall_of_flow(pump: PumpCurve, loop: Loop) -> tuple[Array, Array]:
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
    return from_si(1.0 - harder ** (-1.0 / 3.0), "percent"), from_si(flow, "L/h")


def describe(year: Year) -> str:
    """Say what the picture shows."""
    rule = parameter("turnover_rule")
    place = (
        "below" if year.turnover < rule.low else "above" if year.turnover > rule.high else "within"
    )
    return (
        f"Pads are due {DUE:.0f} % full. {shown(year.flow, 'L/h')} flow now. "
        f"{shown(year.litres, 'L')} of tank water pass {number(year.turnover, 2)} times an hour, "
        f"{place} the rule of the trade ({number(rule.low)} to {number(rule.high)}). "
        f"{number(year.power)} W all year are {number(year.energy)} kWh and cost {year.cost:.2f}, "
        "in the money of your price."
    )


def answer(year: Year) -> tuple[str, str]:
    """Give the highlighted number: the flow that is left, and what to do."""
    if not year.clean_flow:
        return "Flow left", "none: the pump cannot lift water so high"
    left = number(100.0 * year.share, 2)
    if year.pores < DUE:
        do = "the pads can wait"
    elif year.share < parameter("least_flow_share").value:
        do = "clean the pads today, they are long due"
    else:
        do = "clean the pads now"
    return "Flow left", f"{left} % of clean: {do}"


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
    return Panel("From clean to dirty", controls, compute, CleanToDirty(), describe, answer)
