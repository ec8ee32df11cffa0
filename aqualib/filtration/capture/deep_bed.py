"""Deep beds: dirt caught grain by grain, so that each layer takes the same share of the rest."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.capture.settling import DENSITIES, SIZES
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.packed_bed import DEPTHS, DIAMETERS, VOIDAGES
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

BOLTZMANN = 1.380649e-23
"""J/K, exact by definition of the kelvin (NISTSP811)."""
COEFFICIENTS = Range(0, 1e4, "1/m")
FLOW_SPEEDS = Range(0.001, 1000, "mm/s")


@public(returns="", sources=("YaoEtAl1971", "NISTSP811"))
def collector_efficiency(
    diameter: Annotated[Amount, SIZES],
    grain_diameter: Annotated[Amount, DIAMETERS],
    velocity: Annotated[Amount, FLOW_SPEEDS],
    particle_density: Annotated[Amount, DENSITIES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Any:
    """Return the share of particles heading for one grain that touch it, as a plain fraction.

    Particles near one micrometre are the hardest to catch: too large to wander, too small to sink.

    Equation: η = 4.04 Pe^(-2/3) + 1.5 (d_p / d_c)² + (ρp - ρ) g d_p² / (18 μ U), with
    Pe = 3 π μ d_p d_c U / (k T).

    diameter: Of the particle.
    velocity: Flow over the area of the bed.
    Source: YaoEtAl1971 (form read in later papers); k of NISTSP811.
    Validity: particles much smaller than the grains, in beds of sand; not for pads and foam.
    Departures: a particle lighter than the water does not sink, and that part is left out.

    >>> sand = {"grain_diameter": Q(0.5, "mm"), "velocity": Q(1.36, "mm/s")}
    >>> dirt = {"particle_density": Q(1050, "kg/m**3"), "temperature": Q(20, "degC")}
    >>> round(collector_efficiency(Q(10, "um"), **sand, **dirt), 5)
    0.00274
    """
    thick = dynamic_viscosity.bare(temperature, salinity)
    wander = BOLTZMANN * temperature / (3.0 * np.pi * thick * diameter)
    excess = np.maximum(particle_density - density.bare(temperature, salinity), 0.0)
    diffusion = 4.04 * (velocity * grain_diameter / wander) ** (-2.0 / 3.0)
    interception = 1.5 * (diameter / grain_diameter) ** 2
    return diffusion + interception + excess * GRAVITY * diameter**2 / (18.0 * thick * velocity)


@public(returns="1/m", sources=("YaoEtAl1971",))
def filter_coefficient(
    efficiency: Annotated[Number, Range(0, 10)],
    grain_diameter: Annotated[Amount, DIAMETERS],
    voidage: Annotated[Number, VOIDAGES],
    attachment: Annotated[Number, Range(0, 1)] = 1.0,
) -> Any:
    """Return the filter coefficient of a clean bed of grains, in 1/m.

    Finer grains catch more in two ways: there are more of them, and each is better at it.

    Equation: λ0 = 1.5 (1 - ε) α η / d_c.

    efficiency: η, from `collector_efficiency`.
    attachment: α, the share of touches that stick; without a coagulant it is far below 1.
    Source: YaoEtAl1971 (form read in later papers).
    Validity: a clean bed; dirt changes it.

    >>> filter_coefficient(2.73494e-3, Q(0.5, "mm"), 0.4).round(3)
    <Quantity(4.923, '1 / meter')>
    """
    return 1.5 * (1.0 - voidage) * attachment * efficiency / grain_diameter


@public(returns="", sources=("Iwasaki1937",))
def passing_fraction(
    coefficient: Annotated[Amount, COEFFICIENTS],
    depth: Annotated[Amount, DEPTHS],
) -> Any:
    """Return the share of particles that pass a bed, as a plain fraction.

    Each layer takes the same share of what is left, so the first layers get most of the dirt.

    Equation: C / C0 = exp(-λ L), from dC/dz = -λ C.

    Returns: 0 to 1.
    Source: Iwasaki1937 (form read in later papers).
    Validity: one size of particle and a clean bed.

    >>> round(passing_fraction(Q(5, "1/m"), Q(0.3, "m")), 4)
    0.2231
    """
    return np.exp(-coefficient * depth)


@public(returns="kg/m**3", sources=("Iwasaki1937",))
def bed_deposit(
    coefficient: Annotated[Amount, COEFFICIENTS],
    depth: Annotated[Amount, DEPTHS],
    velocity: Annotated[Amount, FLOW_SPEEDS],
    concentration: Annotated[Amount, Range(0, 1e5, "mg/L")],
    time: Annotated[Amount, Range(0, 10000, "day")],
) -> Any:
    """Return the dirt lodged at a depth of a bed, in kg per cubic metre of bed.

    The top fills first while the bottom stays clean: one bed of one grain wastes its depth.

    Equation: σ = λ u C0 t exp(-λ z), from u ∂C/∂z + ∂σ/∂t = 0.

    depth: z, below the top of the bed.
    concentration: C0, coming in.
    Source: Iwasaki1937 (form read in later papers).
    Validity: as long as the dirt does not change the coefficient.

    >>> flow = {"velocity": Q(2.78, "mm/s"), "concentration": Q(10, "mg/L"), "time": Q(1, "day")}
    >>> bed_deposit(Q(10, "1/m"), Q(0, "m"), **flow).round(3)
    <Quantity(24.019, 'kilogram / meter ** 3')>
    """
    caught = coefficient * velocity * concentration * time
    return caught * passing_fraction.bare(coefficient, depth)
