"""The panels of lesson 01: how much water is really there, and how much oxygen it can hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from aqualib.lesson.charts.oxygen_curve import CELSIUS, OxygenCurve
from aqualib.lesson.charts.tank_section import WaterVolume
from aqualib.lesson.controls import Choice, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.volume import (
    bow_front_volume,
    cylinder_volume,
    displaced_by,
    gravel_displacement,
    hexagon_volume,
    rectangular_volume,
    true_water_volume,
)
from aqualib.units import ZERO_CELSIUS, number, shown
from aqualib.water.oxygen import air_pressure, saturation

LITRES = 1000.0
SHAPES = {
    "box": "box",
    "bow front": "bow front",
    "cylinder": "cylinder (length is across)",
    "hexagon": "hexagon (length is corner to corner)",
}

# rows of the parameters -> what the learner reads
ROCKS = {
    "granite_density": "granite",
    "basalt_density": "basalt",
    "slate_density": "slate",
    "limestone_density": "limestone",
    "reef_rock_bulk_density": "reef rock, full of pores",
}


@dataclass(frozen=True, slots=True)
class Filling:
    """What fills a tank: sides in cm, volumes in L."""

    shape: str
    length: float
    width: float
    depth: float
    bow: float
    gravel_depth: float
    gross: float
    gravel: float
    rock: float

    @property
    def water(self) -> float:
        """The water that is really there, in L."""
        return float(true_water_volume.bare(self.gross, self.gravel + self.rock))


def gross_volume(shape: str, length: float, width: float, depth: float, bow: float) -> float:
    """Return what the shape holds up to the water line; SI numbers in and out."""
    if shape == "cylinder":
        return float(cylinder_volume.bare(length, depth))
    if shape == "hexagon":
        return float(hexagon_volume.bare(length / 2.0, depth))
    if shape == "bow front":
        return float(bow_front_volume.bare(length, width, bow, depth))
    return float(rectangular_volume.bare(length, width, depth))


def compute_filling(
    shape: str,
    length: float,
    width: float,
    depth: float,
    bow: float,
    gravel_depth: float,
    rock_mass: float,
    rock_kind: str,
) -> Filling:
    """Take gravel and rock off what the tank holds; SI numbers in."""
    bow = min(bow, 0.45 * length)
    gross = gross_volume(shape, length, width, depth, bow)
    gravel_depth = min(gravel_depth, depth)
    gravel = gravel_displacement.bare(gross / depth, gravel_depth)
    rock = displaced_by.bare(rock_mass, parameter(rock_kind).bare)
    # More rock than the tank has room for cannot be put in.
    rock = min(rock, 0.75 * (gross - gross * gravel_depth / depth))
    return Filling(
        shape=shape,
        length=100.0 * length,
        width=100.0 * width,
        depth=100.0 * depth,
        bow=100.0 * bow,
        gravel_depth=100.0 * gravel_depth,
        gross=gross * LITRES,
        gravel=float(gravel * LITRES),
        rock=float(rock * LITRES),
    )


def describe_filling(filling: Filling) -> str:
    """Say what the picture shows."""
    missing = 100.0 * (1.0 - filling.water / filling.gross)
    return (
        f"Full to the line this {filling.shape} tank holds {shown(filling.gross, 'L')}. Gravel "
        f"takes {shown(filling.gravel, 'L')} and rock {shown(filling.rock, 'L')}, so "
        f"{shown(filling.water, 'L')} is water: {number(missing, 2)} % less than the sum on the "
        "box."
    )


def answer_filling(filling: Filling) -> tuple[str, str]:
    """Give the highlighted number: the true water volume."""
    return "Water really there", shown(filling.water, "L")


def water_volume_panel() -> Panel:
    """Return the first panel of lesson 01."""
    controls: dict[str, Any] = {
        "shape": Choice("Shape", SHAPES, "box"),
        "length": Slider("Length, inside", "tank_length", 5.0),
        "width": Slider("Width, inside", "tank_width", 5.0),
        "depth": Slider("Depth of the water", "water_depth", 5.0),
        "gravel_depth": Slider("Depth of the gravel", "gravel_depth", 1.0),
        "rock_mass": Slider("Rock, weighed dry", "rock_mass", 1.0),
        "rock_kind": Choice("Kind of rock", ROCKS, "granite_density"),
        "bow": Slider("Bulge of a bow front", "tank_bow", 1.0),
    }
    return Panel(
        "How much water is really there?",
        controls,
        compute_filling,
        WaterVolume(),
        describe_filling,
        answer_filling,
    )


@dataclass(frozen=True, slots=True)
class Breath:
    """The oxygen water can hold: concentrations in mg/L, pressure in kPa, oxygen in g."""

    celsius: float
    salinity: float
    pressure: float
    saturation: float
    curve: Any
    litres: float
    grams: float


def compute_breath(temperature: float, salinity: float, altitude: float, volume: float) -> Breath:
    """Saturate the water with air; SI numbers in."""
    pressure = air_pressure.bare(altitude)
    held = float(saturation.bare(temperature, salinity, pressure))
    return Breath(
        celsius=temperature - ZERO_CELSIUS,
        salinity=salinity,
        pressure=pressure / 1000.0,
        saturation=1000.0 * held,
        curve=1000.0 * saturation.bare(CELSIUS + ZERO_CELSIUS, salinity, pressure),
        litres=1000.0 * volume,
        grams=1000.0 * held * volume,
    )


def describe_breath(breath: Breath) -> str:
    """Say what the picture shows."""
    return (
        f"At {shown(breath.celsius, 'degC')}, salinity {number(breath.salinity)} and an air "
        f"pressure of {shown(breath.pressure, 'kPa')} the water can hold "
        f"{number(breath.saturation)} mg/L of oxygen. In {shown(breath.litres, 'L')} that is "
        f"{shown(breath.grams, 'g')}, all there is until more comes in at the surface."
    )


def answer_breath(breath: Breath) -> tuple[str, str]:
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
    return Panel(
        "How much oxygen can it hold?",
        controls,
        compute_breath,
        OxygenCurve(),
        describe_breath,
        answer_breath,
    )
