"""Settling: how fast a piece of dirt sinks, by three laws that agree where they should."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.arguments import one_by_one
from aqualib.edge import public
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.hose import LOOP_FLOWS
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

SINKING_SIZES = Range(0.1, 20000, "um")
PARTICLE_DENSITIES = Range(900, 8000, "kg/m**3")
SPEEDS = Range(0, 10000, "mm/s")
OVERFLOW_RATES = Range(1e-6, 10000, "mm/s")


def terminal_velocity(diameter: float, excess: float, heavy: float, thick: float) -> float:
    """Return the speed in m/s of a ball that is `excess` kg/m³ denser than the liquid."""
    from fluids.drag import v_terminal

    if not excess:
        return excess
    # Drag knows no up and down: a ball that floats rises as fast as its mirror image sinks.
    speed = v_terminal(diameter, heavy + abs(excess), heavy, thick)
    return float(np.copysign(speed, excess))


@public(returns="mm/s", sources=("fluids", "SharqawyEtAl2010"))
def settling_velocity(
    diameter: Annotated[Amount, SINKING_SIZES],
    particle_density: Annotated[Amount, PARTICLE_DENSITIES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the speed at which a ball of dirt sinks in still water, in mm/s.

    A pellet of half a millimetre sinks 15 mm in a second; a fine of 20 µm needs minutes for it.

    Equation: w = √(4 g d (ρp - ρ) / (3 Cd ρ)), with the drag coefficient Cd of w itself from the
    library fluids; in slow sinking it becomes Stokes's law.

    particle_density: Of the wet piece; see `solids_density` of `data/parameters.csv`.
    Returns: Negative for what floats up.
    Source: fluids, function v_terminal; water by SharqawyEtAl2010.
    Validity: balls; flakes and strings sink more slowly.

    >>> settling_velocity(Q(200, "um"), Q(1190, "kg/m**3"), Q(20, "degC")).round(2)
    <Quantity(3.86, 'millimeter / second')>
    """
    heavy = density.bare(temperature, salinity)
    thick = dynamic_viscosity.bare(temperature, salinity)
    return one_by_one(terminal_velocity, diameter, particle_density - heavy, heavy, thick)


@public(returns="mm/s", sources=("SharqawyEtAl2010",))
def stokes_velocity(
    diameter: Annotated[Amount, SINKING_SIZES],
    particle_density: Annotated[Amount, PARTICLE_DENSITIES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the speed at which a small ball sinks, by Stokes's law, in mm/s.

    Half the size sinks at a quarter of the speed; that is why fines never settle in a filter.

    Equation: w = (ρp - ρ) g d² / (18 μ).

    Returns: Negative for what floats up.
    Source: Stokes's law, in any text on hydraulics; water by SharqawyEtAl2010.
    Validity: Reynolds number of the ball below 0.1, for 1 to 2 %; at 200 µm it is far too fast.

    >>> stokes_velocity(Q(60, "um"), Q(1190, "kg/m**3"), Q(20, "degC")).round(3)
    <Quantity(0.376, 'millimeter / second')>
    """
    excess = particle_density - density.bare(temperature, salinity)
    return excess * GRAVITY * diameter**2 / (18.0 * dynamic_viscosity.bare(temperature, salinity))


@public(returns="mm/s", sources=("FergusonChurch2004", "SharqawyEtAl2010"))
def ferguson_church_velocity(
    diameter: Annotated[Amount, SINKING_SIZES],
    particle_density: Annotated[Amount, PARTICLE_DENSITIES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
    roughness: Annotated[Number, Range(0.4, 1.2, "", "FergusonChurch2004")] = 1.0,
) -> Number:
    """Return the speed at which a piece of any size sinks, by one plain formula, in mm/s.

    It is Stokes's law for fines and a constant drag for large pieces, with all between.

    Equation: w = R g d² / (18 ν + √(0.75 C R g d³)), with R = (ρp - ρ) / ρ and ν = μ / ρ.

    roughness: C, drag of a large piece: 0.4 for balls, 1 for natural grains.
    Returns: Negative for what floats up.
    Source: FergusonChurch2004 (secondary copies read); water by SharqawyEtAl2010.
    Validity: single pieces, not crowds; made for sand and gravel. For balls (C = 0.4) it is up
        to a quarter faster than `settling_velocity`.
    Departures: what floats is taken as its mirror image.

    >>> ferguson_church_velocity(Q(500, "um"), Q(1190, "kg/m**3"), Q(20, "degC")).round(1)
    <Quantity(15.0, 'millimeter / second')>
    """
    heavy = density.bare(temperature, salinity)
    drive = (particle_density - heavy) / heavy * GRAVITY
    slow = 18.0 * dynamic_viscosity.bare(temperature, salinity) / heavy
    return drive * diameter**2 / (slow + np.sqrt(0.75 * roughness * abs(drive) * diameter**3))


@public(returns="mm/s", sources=())
def overflow_rate(
    flow: Annotated[Amount, LOOP_FLOWS],
    area: Annotated[Amount, Range(1, 1e8, "cm**2")],
) -> Number:
    """Return the overflow rate of a settling space, in mm/s.

    It is how fast the water rises; only what sinks faster stays below.

    Equation: v0 = Q / A.

    area: Of the floor.
    Returns: 1 mm/s is 86.4 m/day.
    Source: a definition.
    Validity: flow spread evenly over the floor; farms use 40 to 80 m/day.

    >>> overflow_rate(Q(1000, "L/h"), Q(490.87, "cm**2")).round(3)
    <Quantity(5.659, 'millimeter / second')>
    """
    return flow / area


@public(returns="", sources=("Hazen1904",))
def settled_fraction(
    velocity: Annotated[Amount, SPEEDS],
    overflow_rate: Annotated[Amount, OVERFLOW_RATES],
) -> Number:
    """Return the share of particles of one speed that an ideal settling space holds, a fraction.

    Depth does not matter, only floor: a deeper chamber holds more dirt but catches no more.

    Equation: E = min(1, w / v0), of Hazen.

    velocity: w, from `settling_velocity`.
    overflow_rate: v0, from the function of that name.
    Returns: 0 to 1.
    Source: Hazen1904 (form as in textbooks; the paper was not read).
    Validity: calm, even flow; a real chamber does worse, see `basin_settled_fraction`.

    >>> settled_fraction(Q(1, "mm/s"), Q(5, "mm/s"))
    0.2
    """
    return np.minimum(1.0, velocity / overflow_rate)[()]


@public(returns="", sources=())
def basin_settled_fraction(
    velocity: Annotated[Amount, SPEEDS],
    overflow_rate: Annotated[Amount, OVERFLOW_RATES],
    cells: Annotated[Number, Range(1, 100)] = 1.0,
) -> Number:
    """Return the share of particles of one speed that a real settling space holds, a fraction.

    Stirred water keeps dirt up: what an ideal space holds wholly, a stirred one holds by half.

    Equation: E = 1 - (1 + w / (n v0))^-n, for n fully stirred cells in a row; 1 - exp(-w / v0)
    for very many.

    cells: n; 1 for a poor space, more for a calmer one.
    Returns: 0 to 1.
    Source: the mass balance of each cell, floor shared evenly.
    Validity: dirt that has settled stays; fast water lifts it again.

    >>> basin_settled_fraction(Q(5, "mm/s"), Q(5, "mm/s"))
    0.5
    """
    return 1.0 - (1.0 + velocity / (cells * overflow_rate)) ** -cells
