"""The lamp's panel of lesson 09: what dose the water gets, and how far that clears a tank."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import floor, inf, isfinite, log10

import numpy as np

from aqualib.filtration.hydraulics import energy_per_year
from aqualib.filtration.ultraviolet import (
    delivered_fluence,
    doses,
    exposure_time_beside_tube,
    fluence_rate,
    inactivated_share,
    kill_rate,
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
from aqualib.lesson.charts.ultraviolet_chamber import (
    AWAY,
    CLEARED,
    Aim,
    Clearing,
    Dose,
    Housing,
    Lamp,
    LitWater,
    OnePass,
    UltravioletChamber,
    Upkeep,
    two_digits,
)
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.drawing.axes import round_above
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.units import SECONDS_PER_DAY, Q, from_si, number, shown

POINTS = 25
LONG = 48.0
"""Hours that are shown of a tank that never clears."""
INNER, LENGTH = parameter("sleeve_radius").bare, parameter("lit_length").bare
AIM = parameter("cleared_share").bare
"""The share that is to be cleared from the tank."""
GROWTH = {"green_water": "green_water_growth"}
"""Rows of what multiplies in the tank while the lamp works; the rest is taken to stand still."""


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
    dose = delivered_fluence.bare(power, flow, INNER, shell, clarity, hours, sleeve)
    table = tables()[organism]
    # Beyond the table the last step stands, and is called "at least".
    logs = [float(tabled_inactivation.bare(organism, end, at_least=True)) for end in dose]
    shares = [float(inactivated_share.bare(steps)) for steps in logs]
    aim_log = min(-log10(1.0 - AIM), float(table.logs[-1]))
    seconds = time_in_light.bare(lit_volume.bare(INNER, shell, LENGTH), flow)
    return LitWater(
        lamp=Lamp(from_si(hours, "h"), clarity, sleeve),
        housing=lit_housing(power, clarity, float(output_share.bare(hours)) * sleeve, shell),
        one_pass=OnePass(
            flow=from_si(flow, "L/h"),
            seconds=float(seconds),
            dose=Dose(*(from_si(float(end), "mJ/cm**2") for end in dose)),
            logs=(logs[0], logs[1], logs[2]),
            last_log=float(table.logs[-1]),
        ),
        aim=Aim(
            organism=table.label,
            dose=from_si(float(tabled_fluence.bare(organism, aim_log)), "mJ/cm**2"),
            share=float(inactivated_share.bare(aim_log)),
            grows=organism in GROWTH,
        ),
        clearing=clearing(volume, flow, shares, growth_in_light(organism, hours_a_day)),
        upkeep=upkeep(power, hours, hours_a_day, volume),
        benchmarks=benchmarks(),
    )


@lru_cache(maxsize=64)
def lit_housing(power: float, clarity: float, left: float, shell: float) -> Housing:
    """Return the light in the housing, from the sleeve to the shell.

    `left` is the share of the light that age and the sleeve leave.
    """
    radii = np.linspace(INNER, shell, POINTS)
    new = float(lamp_output.bare(power, None, 1.0, 1.0))
    rates = np.asarray(fluence_rate.bare(new * left, radii, INNER, LENGTH, clarity))
    most = float(fluence_rate.bare(new, INNER, INNER, LENGTH, clarity))
    return Housing(
        inner=from_si(INNER, "mm"),
        shell=from_si(shell, "mm"),
        length=from_si(LENGTH, "mm"),
        radii=from_si(radii, "mm"),
        rates=from_si(rates, "mW/cm**2"),
        strength=rates / most,
    )


def growth_in_light(organism: str, hours_a_day: float) -> float:
    """Return how fast an organism multiplies, in 1/s of light: it does so in the dark as well."""
    row = GROWTH.get(organism)
    return parameter(row).bare * SECONDS_PER_DAY / hours_a_day if row else 0.0


def clearing(volume: float, flow: float, shares: Sequence[float], growth: float) -> Clearing:
    """Return how the tank clears if a pass inactivates the low, the best or the high share."""
    slow, hours, fast = (clear_hours(volume, flow, share, growth) for share in shares)
    shown_hours = round_above(hours) if isfinite(hours) else LONG
    times = np.linspace(0.0, Q(shown_hours, "h").m_as("s"), 2 * POINTS)
    # Water that is green already is not drawn greener.
    low, best, high, at_most = (
        np.minimum(survivors.bare(volume, flow, share, times, growth), 1.0)
        for share in (*shares, 1.0)
    )
    return Clearing(
        volume=from_si(volume, "L"),
        hours=hours,
        fast=fast,
        slow=slow,
        times=from_si(times, "h"),
        left=(low, best, high),
        left_at_most=at_most,
    )


def clear_hours(volume: float, flow: float, share: float, growth: float) -> float:
    """Return the hours of light until the tank is clear; infinite if it never is."""
    if kill_rate.bare(flow, share, volume) <= growth:
        return inf
    return from_si(float(time_to_clear.bare(volume, flow, share, AIM, growth)), "h")


def upkeep(power: float, hours: float, hours_a_day: float, volume: float) -> Upkeep:
    """Return what the lamp asks of its keeper."""
    lit = hours_a_day / SECONDS_PER_DAY
    # A bare lamp is as strong as the best kind when it is new.
    strongest = lamp_output.bare(power, parameter("lamp_efficiency").high, 1.0, 1.0)
    return Upkeep(
        days_left=max(0.0, (float(service_hours.bare()) - hours) / hours_a_day),
        energy=from_si(float(energy_per_year.bare(power * lit)), "kW*h"),
        warmer=from_si(float(warming.bare(power, volume)) * lit, "delta_degC/day"),
        seconds_to_limit=float(exposure_time_beside_tube.bare(strongest, AWAY, LENGTH)),
    )


@lru_cache(maxsize=1)
def benchmarks() -> tuple[tuple[str, float], ...]:
    """Return published doses to compare with, of what lives in a tank."""
    seen = {dose.organism: dose.fluence for dose in doses()}
    return (
        ("fish bacteria", seen["fish_bacteria"]),
        ("white spot", seen["cryptocaryon_theronts"]),
        ("Trichodina", seen["trichodina"]),
    )


def percent(steps: float) -> str:
    """Return a log10 inactivation as a percentage, with as many nines as it has."""
    left = 100.0 * 10.0**-steps
    digits = max(0, -floor(log10(left) + 1e-9)) if left < 10.0 else 0
    return f"{100.0 - left:.{digits}f} %" if left < 99.0 else f"{number(100.0 - left, 2)} %"


def inactivated(one_pass: OnePass, which: int = 1) -> str:
    """Say which share one pass inactivates; beyond the table, at least that."""
    at_least = "at least " if one_pass.is_beyond(which) else ""
    return f"{at_least}{percent(one_pass.logs[which])}"


def span(hours: float) -> str:
    """Return a time in minutes, hours or days, whichever reads best."""
    if hours < 1.0:
        return f"{two_digits(60.0 * hours)} minutes"
    return f"{two_digits(hours)} hours" if hours < 48.0 else f"{two_digits(hours / 24.0)} days"


def dose_text(dose: Dose) -> str:
    """Return the dose with its range, in mJ/cm²."""
    low, best, high = map(two_digits, dose)
    return f"{best} mJ/cm² ({low} to {high})"


def describe(result: LitWater) -> str:
    """Say what the picture shows."""
    water, upkeep = result.one_pass, result.upkeep
    return (
        f"One pass gives {dose_text(water.dose)}: {inactivated(water)} inactivated. "
        f"{clearing_text(result)} {keeping(upkeep)} "
        f"Never look at it bare: {two_digits(upkeep.seconds_to_limit)} seconds nearby "
        f"reach a day's limit."
    )


def clearing_text(result: LitWater) -> str:
    """Say how sure the time is that the tank takes to clear."""
    tank = result.clearing
    if not isfinite(tank.hours):
        return "In the tank they multiply faster than that."
    slow = span(tank.slow) if isfinite(tank.slow) else "never"
    while_they_do = "growing meanwhile" if result.aim.grows else "if no new ones come"
    fast = span(tank.fast)
    times = fast if fast == slow else f"{fast} to {slow}"
    return f"The tank clears in {times}, {while_they_do}."


def keeping(upkeep: Upkeep) -> str:
    """Say what the lamp costs the tank and when it is due."""
    oldest = parameter("lamp_oldest").value
    due = f"due in {number(upkeep.days_left)} days"
    if not upkeep.days_left:
        due = "overdue"
    elif upkeep.days_left > oldest:
        due = f"due by age in {number(oldest / 365.0, 2)} years"
    return (
        f"It uses {number(upkeep.energy)} kWh a year, warms by up to "
        f"{shown(upkeep.warmer, 'delta_degC/day', 2)}; {due}."
    )


def answer(result: LitWater) -> tuple[str, str]:
    """Give the highlighted number: when the tank is clear."""
    what, tank = f"{CLEARED:g} % of {result.aim.organism} gone", result.clearing
    if not isfinite(tank.hours):
        return what, "never: take a stronger lamp"
    return what, f"after {span(tank.hours)} of light"


def lamp_panel() -> Panel:
    """Return the panel of the ultraviolet lamp."""
    words = {name: table.label for name, table in tables().items()}
    controls: dict[str, Control] = {
        "flow": Slider("Flow through the housing", "lamp_flow", 10.0),
        "power": Slider("Electric power of the lamp", "lamp_power", 1.0),
        "clarity": Slider("Ultraviolet that passes 1 cm of water", "water_transmittance", 1.0),
        "hours": Slider("Hours the lamp has run", "lamp_hours", 250.0),
        "organism": Choice("What is to be inactivated", words, "green_water"),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
        "sleeve": Slider("Light that passes the dirty sleeve", "sleeve_light", 5.0),
        "shell": Slider("Inside radius of the housing", "shell_radius", 1.0),
        "hours_a_day": Slider("Hours lit in a day", "lamp_hours_a_day", 1.0),
    }
    title = "Is it enough light?"
    return Panel(title, controls, compute, UltravioletChamber(), describe, answer)
