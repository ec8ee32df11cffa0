"""The first panel of lesson 01: how much water is really there."""

from __future__ import annotations

from aqualib.lesson.charts.water_volume import FilledTank, WaterVolume
from aqualib.lesson.controls import Choice, Control, Slider
from aqualib.lesson.panel import Panel
from aqualib.parameters import parameter
from aqualib.tank.volume import (
    bow_front_volume,
    cylinder_volume,
    displaced_by,
    gravel_displacement,
    hexagon_volume,
    rectangular_volume,
)
from aqualib.units import from_si, number, shown

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
    "coral_mineral_density": "reef rock, full of pores",
}
OUTSIDE = {"coral_mineral_density": "reef_rock_bulk_density"}
"""Of rock with pores, the row that gives its outer volume; solid rock fills what it displaces."""

LITTLE = 0.005
"""Litres of pores that are not worth a word."""
MOST_BULGE = 0.45
"""Of the length: a bow front that stands out by half of it is a half circle."""


def gross_volume(shape: str, length: float, width: float, depth: float, bow: float) -> float:
    """Return what the shape holds up to the water line; SI numbers in and out."""
    if shape == "cylinder":
        return float(cylinder_volume.bare(length, depth))
    if shape == "hexagon":
        return float(hexagon_volume.bare(length / 2.0, depth))
    if shape == "bow front":
        return float(bow_front_volume.bare(length, width, bow, depth))
    return float(rectangular_volume.bare(length, width, depth))


def compute(
    shape: str,
    length: float,
    width: float,
    depth: float,
    bow: float,
    gravel_depth: float,
    rock_mass: float,
    rock_kind: str,
) -> FilledTank:
    """Take gravel and rock off what the tank holds; SI numbers in."""
    bow = min(bow, MOST_BULGE * length)
    gross = gross_volume(shape, length, width, depth, bow)
    gravel_depth = min(gravel_depth, depth)
    gravel = gravel_displacement.bare(gross / depth, gravel_depth)
    rock, heap = (
        displaced_by.bare(rock_mass, parameter(row).bare)
        for row in (rock_kind, OUTSIDE.get(rock_kind, rock_kind))
    )
    # More rock than the tank has room for cannot be put in.
    room = parameter("most_rock_share").value * (gross - gross * gravel_depth / depth)
    fits = min(1.0, room / heap) if heap > 0.0 else 1.0
    return FilledTank(
        shape=shape,
        length=from_si(length, "cm"),
        width=from_si(width, "cm"),
        depth=from_si(depth, "cm"),
        bow=from_si(bow, "cm"),
        gravel_depth=from_si(gravel_depth, "cm"),
        gross=from_si(gross, "L"),
        gravel=from_si(float(gravel), "L"),
        rock=from_si(float(fits * rock), "L"),
        heap=from_si(float(fits * heap), "L"),
    )


def describe(tank: FilledTank) -> str:
    """Say what the picture shows."""
    missing = 100.0 * (1.0 - tank.water / tank.gross)
    pores = tank.heap - tank.rock
    soaked = f" in a heap of {shown(tank.heap, 'L')} whose pores hold water"
    return (
        f"Full to the line this {tank.shape} tank holds {shown(tank.gross, 'L')}. Gravel "
        f"takes {shown(tank.gravel, 'L')} and rock {shown(tank.rock, 'L')}"
        f"{soaked if pores > LITTLE else ''}, so "
        f"{shown(tank.water, 'L')} is water: {number(missing, 2)} % less than the sum on the "
        "box."
    )


def answer(tank: FilledTank) -> tuple[str, str]:
    """Give the highlighted number: the true water volume."""
    return "Water really there", shown(tank.water, "L")


def water_volume_panel() -> Panel:
    """Return the first panel of lesson 01."""
    controls: dict[str, Control] = {
        "shape": Choice("Shape", SHAPES, "box"),
        "length": Slider("Length, inside", "tank_length", 5.0),
        "width": Slider("Width, inside", "tank_width", 1.0),
        "depth": Slider("Depth of the water", "water_depth", 1.0),
        "gravel_depth": Slider("Depth of the gravel", "gravel_depth", 1.0),
        "rock_mass": Slider("Rock, weighed dry", "rock_mass", 1.0),
        "rock_kind": Choice("Kind of rock", ROCKS, "granite_density"),
        "bow": Slider("Bulge of a bow front", "tank_bow", 1.0),
    }
    title = "How much water is really there?"
    return Panel(title, controls, compute, WaterVolume(), describe, answer)
