"""Packed beds: the pressure that rings, balls and broken stone take from the water."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

BED_VELOCITIES = Range(0, 1, "m/s")
BED_DEPTHS = Range(0, 10, "m")
GRAIN_DIAMETERS = Range(0.01, 100, "mm")
ERGUN_VOIDAGES = Range(0.2, 0.98, "", "Ergun1952")
RING_SIZES = Range(0.1, 200, "mm")


@public(returns="Pa", sources=("Ergun1952",))
def ergun_pressure_loss(
    velocity: Annotated[Amount, BED_VELOCITIES],
    depth: Annotated[Amount, BED_DEPTHS],
    diameter: Annotated[Amount, GRAIN_DIAMETERS],
    voidage: Annotated[Number, ERGUN_VOIDAGES],
    density: Annotated[Amount, Range(0.1, 20000, "kg/m**3")],
    viscosity: Annotated[Amount, Range(0.001, 10000, "mPa*s")],
) -> Number:
    """Return the pressure lost in a bed of grains by any liquid or gas, in Pa.

    The first part grows with the flow (friction), the second with its square (turning corners);
    slow water in small grains feels the first, fast water in large ones the second.

    Equation: ΔP / L = 150 μ (1 - ε)² v / (ε³ d²) + 1.75 ρ (1 - ε) v² / (ε³ d).

    velocity: Flow over the area of the empty container.
    diameter: Effective diameter d: sphericity times the diameter of equal volume, or
        `ring_diameter`.
    Source: Ergun1952 (form read in a textbook table).
    Validity: about 0.1 < ρ v d / (μ (1 - ε)) < 1000 and voidage 0.35 to 0.5; at more than 0.6
        (rings, foam) take it as ±50 %.
    Departures: none; we let it be used outside its range, as everyone does.

    >>> water = {"density": Q(1000, "kg/m**3"), "viscosity": Q(1, "mPa*s")}
    >>> ergun_pressure_loss(Q(1, "mm/s"), Q(1, "m"), Q(0.8, "mm"), 0.4, **water).round(1)
    <Quantity(1338.9, 'pascal')>
    """
    solid = (1.0 - voidage) / diameter
    viscous = 150.0 * viscosity * solid**2 * velocity
    inertial = 1.75 * density * solid * velocity**2
    return depth * (viscous + inertial) / voidage**3


@public(returns="Pa", sources=("Ergun1952", "SharqawyEtAl2010"))
def bed_pressure_loss(
    velocity: Annotated[Amount, BED_VELOCITIES],
    depth: Annotated[Amount, BED_DEPTHS],
    diameter: Annotated[Amount, GRAIN_DIAMETERS],
    voidage: Annotated[Number, ERGUN_VOIDAGES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the pressure that a clean bed of media takes from the water, in Pa.

    Clean media cost millimetres of head; hoses, fittings and dirt cost the rest.

    Equation: ΔP = L (150 μ (1 - ε)² v / (ε³ d²) + 1.75 ρ (1 - ε) v² / (ε³ d)), with the water's
    own ρ and μ.

    velocity: Flow over the area of the empty tray.
    diameter: Effective diameter of a piece.
    voidage: Share of the bed that is water between the pieces.
    Source: Ergun1952 (form read in a textbook table), SharqawyEtAl2010 (viscosity).
    Validity: as `ergun_pressure_loss`; clean media in a container many pieces wide.

    >>> tray = {"depth": Q(150, "mm"), "diameter": Q(15, "mm"), "voidage": 0.45}
    >>> bed_pressure_loss(Q(9.26, "mm/s"), **tray, temperature=Q(20, "degC")).round(1)
    <Quantity(12.1, 'pascal')>
    """
    heavy = density.bare(temperature, salinity)
    thick = dynamic_viscosity.bare(temperature, salinity)
    return ergun_pressure_loss.bare(velocity, depth, diameter, voidage, heavy, thick)


def _check_hole(outside: Any, inside: Any, **_: Any) -> None:
    if np.any(np.asarray(inside) >= np.asarray(outside)):
        why = "is not smaller than the outside diameter"
        raise ValidityError("inside", "the hole", "less than outside", "", why)


@public(returns="mm", sources=(), together=_check_hole)
def ring_diameter(
    outside: Annotated[Amount, RING_SIZES],
    inside: Annotated[Amount, RING_SIZES],
    length: Annotated[Amount, RING_SIZES],
) -> Number:
    """Return the diameter of the ball with as much surface per volume as a ring, in mm.

    A ring rubs on the water like much smaller balls, because it has an inside as well.

    Equation: d = 6 V / A, with V = π (D² - B²) L / 4 and
    A = π (D + B) L + π (D² - B²) / 2.

    Returns: To be used as `diameter` of a bed.
    Raises: the hole is wider than the ring.
    Source: geometry.
    Validity: smooth rings; pores do not count, for water hardly flows through them.

    >>> ring_diameter(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")).round(2)
    <Quantity(7.5, 'millimeter')>
    """
    volume = (outside**2 - inside**2) * length / 4.0
    surface = (outside + inside) * length + (outside**2 - inside**2) / 2.0
    return 6.0 * volume / surface


@public(returns="mm", sources=("Ergun1952",))
def irregular_diameter(
    diameter: Annotated[Amount, RING_SIZES],
    sphericity: Annotated[Number, Range(0.1, 1)],
) -> Number:
    """Return the diameter of a broken piece that counts for its flow resistance, in mm.

    Sharp gravel resists like balls a quarter smaller.

    Equation: d = φ D, with D the diameter of the ball of equal volume.

    diameter: Diameter of the ball of equal volume.
    sphericity: 1 for a ball, about 0.75 for sand (from a textbook table).
    Returns: To be used as `diameter` of a bed.
    Source: Ergun1952 (form read in a textbook table).
    Validity: compact pieces, not flakes.

    >>> irregular_diameter(Q(4, "mm"), 0.75).round(2)
    <Quantity(3.0, 'millimeter')>
    """
    return sphericity * diameter


@public(returns="m**2", sources=("Ergun1952",))
def bed_permeability(
    diameter: Annotated[Amount, GRAIN_DIAMETERS],
    voidage: Annotated[Number, ERGUN_VOIDAGES],
    constant: Annotated[Number, Range(100, 300)] = 180.0,
) -> Number:
    """Return the permeability of a bed of grains, in m².

    Half the grain size lets a quarter of the water through.

    Equation: K = ε³ d² / (180 (1 - ε)²), of Carman and Kozeny; Ergun's first term has 150.

    Returns: For Darcy's law ΔP = μ v L / K.
    Source: Ergun1952 (150); the 180 is Carman's, read in a textbook table.
    Validity: slow flow, ρ v d / μ below about 6.

    >>> bed_permeability(Q(1, "mm"), 0.4).to("mm**2").round(6)
    <Quantity(0.000988, 'millimeter ** 2')>
    """
    return voidage**3 * diameter**2 / (constant * (1.0 - voidage) ** 2)
