"""The second panel of lesson 01: how much oxygen the water can hold."""

from __future__ import annotations

import numpy as np

from aqualib.lesson.charts.oxygen_curve import KELVIN, Breath, OxygenCurve
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.units import from_si, number, shown
from aqualib.water.oxygen import air_pressure, saturation


def compute(temperature: float, salinity: float, altitude: float, volume: float) -> Breath:
    """Saturate the water with air; SI numbers in."""
    pressure = air_pressure.bare(altitude)
    held = float(saturation.bare(temperature, salinity, pressure))
    return Breath(
        celsius=from_si(temperature, "degC"),
        salinity=salinity,
        pressure=from_si(float(pressure), "kPa"),
        saturation=from_si(held, "mg/L"),
        curve=from_si(np.asarray(saturation.bare(KELVIN, salinity, pressure)), "mg/L"),
        litres=from_si(volume, "L"),
        grams=from_si(held * volume, "g"),
    )


def describe(breath: Breath) -> str:
    """Say what the picture shows."""
    return (
        f"At {shown(breath.celsius, 'degC')}, salinity {number(breath.salinity)} and an air "
        f"pressure of {shown(breath.pressure, 'kPa')} the water can hold "
        f"{number(breath.saturation)} mg/L of oxygen. In {shown(breath.litres, 'L')} that is "
        f"{shown(breath.grams, 'g')}, all there is until more comes in at the surface."
    )


def answer(breath: Breath) -> tuple[str, str]:
    """Give the highlighted number: oxygen at saturation."""
    return "Oxygen this water can hold", f"{number(breath.saturation)} mg/L"


def oxygen_panel() -> Panel:
    """Return the second panel of lesson 01."""
    controls = {
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "altitude": Slider("Height above the sea", "altitude", 100.0),
        "volume": Slider("Water in the tank", "tank_volume", 10.0),
    }
    title = "How much oxygen can it hold?"
    return Panel(title, controls, compute, OxygenCurve(), describe, answer)
