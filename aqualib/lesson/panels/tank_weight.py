"""The panel of lesson 00: a first slider, and what a tank's water weighs."""

from __future__ import annotations

from aqualib.lesson.charts.tank_weight import TankWeight, Weight
from aqualib.lesson.controls import Slider
from aqualib.lesson.panel import Panel
from aqualib.tank.volume import rectangular_volume
from aqualib.units import from_si, shown
from aqualib.water.properties import density


def compute(
    length: float, width: float, depth: float, temperature: float, salinity: float
) -> Weight:
    """Weigh the water of a box-shaped tank; SI numbers in."""
    volume = float(rectangular_volume.bare(length, width, depth))
    mass = float(volume * density.bare(temperature, salinity))
    return Weight(
        length=from_si(length, "cm"),
        depth=from_si(depth, "cm"),
        litres=from_si(volume, "L"),
        mass=mass,
        floor_load=mass / (length * width),
    )


def describe(weight: Weight) -> str:
    """Say what the picture shows."""
    return (
        f"{shown(weight.litres, 'L')} of water weighs {shown(weight.mass, 'kg')} and presses on "
        f"the floor with {shown(weight.floor_load, 'kg/m**2')}; glass, gravel, rock and stand "
        "come on top."
    )


def answer(weight: Weight) -> tuple[str, str]:
    """Give the highlighted number: the weight of the water."""
    return "The water alone weighs", shown(weight.mass, "kg")


def first_slider_panel() -> Panel:
    """Return the panel of lesson 00."""
    controls = {
        "length": Slider("Length, inside", "tank_length", 5.0),
        "width": Slider("Width, inside", "tank_width", 1.0),
        "depth": Slider("Depth of the water", "water_depth", 1.0),
        "salinity": Slider("Salinity", "tank_salinity", 1.0),
        "temperature": Slider("Temperature", "tank_temperature", 0.5),
    }
    title = "A first slider: how heavy is it?"
    return Panel(title, controls, compute, TankWeight(), describe, answer)
