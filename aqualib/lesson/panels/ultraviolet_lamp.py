"""The lamp's panel of lesson 08: what dose the water gets, and how far that clears a tank."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import floor, log10
from typing import Any

import numpy as np

from aqualib.filtration.hydraulics import energy_per_year
from aqualib.filtration.ultraviolet import (
    delivered_fluence,
    doses,
    exposure_time_beside_tube,
    fluence_rate,
    inactivated_share,
    lamp_output,
    lit_volume,
    output_share,
    service_hours,
    survivors,
    tabled_fluence,
    tabled_inactivation,
    tables,
    time_in_light,
    time_to_clear,
    warming,
)
from aqualib.lesson.charts.ultraviolet_chamber import UltravioletChamber, two_digits
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import LITRES_PER_HOUR, SECONDS_PER_DAY, number, shown

HOUR = 3600.0
POINTS = 25
AIM = 0.99
"""The share that is to be cleared from the tank."""
AWAY = 0.5
"""m; how near somebody looks at a bare lamp in the warning."""


@dataclass(frozen=True, slots=True)
class LitWater:
    """A lamp at work: L/h, W, mJ/cm², mm, mW/cm², h, L; shares as fractions."""

    flow: float
    power: float
    clarity: float
    hours: float
    volume: float
    sleeve: float
    hours_a_day: float
    inner: float
    shell: float
    length: float
    low: float
    best: float
    high: float
    seconds: float
    radii: Any
    rates: Any
    strength: Any
    """The rate at each radius over that of a new lamp in a clean sleeve at the sleeve."""
    organism: str
    aim_dose: float
    """The dose that the table asks for `aim_share`."""
    aim_share: float
    logs: tuple[float, float, float]
    last_log: float
    """Where the organism's table ends; an inactivation this high is "at least"."""
    clear_hours: float
    times: Any
    left: tuple[Any, Any, Any]
    """Share left in the tank at each time, with the low, the best and the high dose."""
    left_at_most: Any
    """Share left if nothing survived a pass."""
    days_left: float
    """Days until the lamp is due."""
    energy: float
    """kWh a year"""
    warmer: float
    """degrees Celsius a day"""
    stare: float
    """Seconds to the day's limit of eyes and skin, half a metre from a new lamp."""
    benchmarks: tuple[tuple[str, float], ...]
    """Names and doses to compare with, mJ/cm²."""


def compute(
    flow: float,
    power: float,
    clarity: float,
    hours: float,
    organism: str,
    volume: float,
    sleeve: float,
    shell: float,
    hours_a_day: float,
) -> LitWater:
    """Work out a lamp in its housing and the tank it serves; SI numbers in."""
    inner, length = parameter("sleeve_radius").bare, parameter("lit_length").bare
    dose = delivered_fluence.bare(power, flow, inner, shell, clarity, hours, sleeve)
    table = tables()[organism]
    # Beyond the table the last step stands, and is called "at least".
    logs = [float(tabled_inactivation.bare(organism, end, at_least=True)) for end in dose]
    shares = [float(inactivated_share.bare(steps)) for steps in logs]
    clear = float(time_to_clear.bare(volume, flow, shares[1], AIM))
    times = np.linspace(0.0, axis_end(clear / HOUR) * HOUR, 2 * POINTS)
    aim_log = min(2.0, float(table.logs[-1]))
    share = float(output_share.bare(hours))
    radii, rates, strength = fading(power, clarity, share * sleeve, inner, shell, length)
    return LitWater(
        flow=flow * LITRES_PER_HOUR,
        power=power,
        clarity=clarity,
        hours=hours / HOUR,
        volume=1000.0 * volume,
        sleeve=sleeve,
        hours_a_day=hours_a_day / HOUR,
        inner=1000.0 * inner,
        shell=1000.0 * shell,
        length=1000.0 * length,
        low=dose.low / 10.0,
        best=dose.best / 10.0,
        high=dose.high / 10.0,
        seconds=float(time_in_light.bare(lit_volume.bare(inner, shell, length), flow)),
        radii=radii,
        rates=rates,
        strength=strength,
        organism=table.label,
        aim_dose=float(tabled_fluence.bare(organism, aim_log)) / 10.0,
        aim_share=float(inactivated_share.bare(aim_log)),
        logs=(logs[0], logs[1], logs[2]),
        last_log=float(table.logs[-1]),
        clear_hours=clear / HOUR,
        times=times / HOUR,
        left=tuple(survivors.bare(volume, flow, part, times) for part in shares),
        left_at_most=survivors.bare(volume, flow, 1.0, times),
        days_left=max(0.0, (float(service_hours.bare()) - hours) / hours_a_day),
        energy=float(energy_per_year.bare(power * hours_a_day / SECONDS_PER_DAY)) / 3.6e6,
        warmer=float(warming.bare(power, volume)) * hours_a_day,
        stare=stare(power, length),
        benchmarks=benchmarks(),
    )


@lru_cache(maxsize=1)
def benchmarks() -> tuple[tuple[str, float], ...]:
    """Return published doses to compare with: two standards for drinking water, three effects."""
    seen = {dose.organism: dose.fluence for dose in doses()}
    return (
        ("fish bacteria", seen["fish_bacteria"]),
        ("standard, class B", parameter("ultraviolet_class_b").value),
        ("standard, class A", parameter("ultraviolet_class_a").value),
        ("white spot, marine", seen["cryptocaryon_theronts"]),
        ("Trichodina, all dead", seen["trichodina"]),
    )


def axis_end(hours: float) -> float:
    """Return a round end for an axis (1, 2 or 5 times a power of ten) at or above some hours."""
    power = 10.0 ** floor(log10(hours))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if hours <= step * power * 1.0001)


@lru_cache(maxsize=64)
def fading(
    power: float, clarity: float, left: float, inner: float, shell: float, length: float
) -> tuple[Any, Any, Any]:
    """Return radii (mm), the light there (mW/cm²), and its share of a new, clean lamp's most.

    `left` is the share of the light that age and the sleeve leave.
    """
    radii = np.linspace(inner, shell, POINTS)
    new = float(lamp_output.bare(power, None, 1.0, 1.0))
    rates = fluence_rate.bare(new * left, radii, inner, length, clarity)
    most = fluence_rate.bare(new, inner, inner, length, clarity)
    return 1000.0 * radii, rates / 10.0, rates / most


def stare(power: float, length: float) -> float:
    """Return the seconds to the day's limit for eyes and skin, near a new lamp of the best kind."""
    row = parameter("lamp_efficiency")
    strongest = lamp_output.bare(power, row.high, 1.0, 1.0)
    return float(exposure_time_beside_tube.bare(strongest, AWAY, length))


def percent(steps: float) -> str:
    """Return a log10 inactivation as a percentage, with as many nines as it has."""
    left = 100.0 * 10.0**-steps
    digits = max(0, -floor(log10(left) + 1e-9)) if left < 10.0 else 0
    return f"{100.0 - left:.{digits}f} %" if left < 99.0 else f"{number(100.0 - left, 2)} %"


def inactivated(result: LitWater, which: int = 1) -> str:
    """Say which share one pass inactivates; beyond the table, at least that."""
    steps = result.logs[which]
    return f"{'at least ' if beyond(result, which) else ''}{percent(steps)}"


def beyond(result: LitWater, which: int) -> bool:
    """Return whether a dose lies beyond the organism's table."""
    return result.logs[which] >= result.last_log - 1e-9


def span(hours: float) -> str:
    """Return a time in minutes, hours or days, whichever reads best."""
    if hours < 1.0:
        return f"{two_digits(60.0 * hours)} minutes"
    return f"{two_digits(hours)} hours" if hours < 48.0 else f"{two_digits(hours / 24.0)} days"


def dose_text(result: LitWater) -> str:
    """Return the dose with its range, in mJ/cm²."""
    best, low, high = (two_digits(dose) for dose in (result.best, result.low, result.high))
    return f"{best} mJ/cm² ({low} to {high})"


def describe(result: LitWater) -> str:
    """Say what the picture shows."""
    gap = result.shell - result.inner
    reach = f" ({percent(result.logs[0])} to {inactivated(result, 2)})"
    return (
        f"At {shown(result.flow, 'L/h')} the water is in the light of a lamp of "
        f"{number(result.power)} W for {two_digits(result.seconds)} seconds, in a gap of "
        f"{shown(gap, 'mm')}, and gets {dose_text(result)}: {number(100 * result.clarity)} % of "
        f"the light passes 1 cm of water, {number(100 * result.sleeve)} % the sleeve, and the lamp "
        f"has run {number(result.hours)} hours. One pass inactivates {inactivated(result)} of "
        f"{result.organism}{'' if beyond(result, 0) else reach}; 99 % of those that swim in "
        f"{shown(result.volume, 'L')} are gone after {span(result.clear_hours)} of light, if no "
        f"new ones come. {upkeep(result)} Never look at it bare: {shown(AWAY, 'm', 2)} from a new "
        f"one, eyes and skin can reach the limit of a whole day in {two_digits(result.stare)} "
        "seconds."
    )


def upkeep(result: LitWater) -> str:
    """Say what the lamp costs the tank and when it is due."""
    due = (
        f"is due in about {number(result.days_left)} days"
        if result.days_left
        else f"is overdue: less than {100 * parameter('lamp_least_share').value:g} % is left"
    )
    hours = f"{number(result.hours_a_day)} hour{'' if result.hours_a_day == 1.0 else 's'}"
    return (
        f"Lit {hours} a day, it uses {number(result.energy)} kWh a year, warms the tank by at most "
        f"{shown(result.warmer, 'delta_degC/day', 2)}, and {due}."
    )


def answer(result: LitWater) -> tuple[str, str]:
    """Give the highlighted number: the dose, and what it does."""
    return (
        "Dose in one pass",
        f"{dose_text(result)}; it inactivates {inactivated(result)} of {result.organism}",
    )


def lamp_panel() -> Panel:
    """Return the panel of the ultraviolet lamp."""
    words = {name: table.label for name, table in tables().items()}
    controls: dict[str, Control] = {
        "flow": Slider("Flow through the housing", "lamp_flow", 50.0),
        "power": Slider("Electric power of the lamp", "lamp_power", 1.0),
        "clarity": Slider("Ultraviolet that passes 1 cm of water", "water_transmittance", 1.0),
        "hours": Slider("Hours the lamp has run", "lamp_hours", 250.0),
        "organism": Choice("What is to be inactivated", words, "tank_coliforms"),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "sleeve": Slider("Light that passes the dirty sleeve", "sleeve_light", 5.0),
        "shell": Slider("Inside radius of the housing", "shell_radius", 1.0),
        "hours_a_day": Slider("Hours lit in a day", "lamp_hours_a_day", 1.0),
    }
    return Panel(
        "Is it enough light?",
        controls,
        compute,
        UltravioletChamber(),
        describe,
        answer,
    )
