"""Packed beds: the pressure that rings, balls and broken stone take from the water."""

from __future__ import annotations

from typing import Annotated, Any

from aqualib.edge import Amount, Number, Range, public
from aqualib.filtration.one_by_one import one_by_one
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

VELOCITIES = Range(0, 1, "m/s")
DEPTHS = Range(0, 10, "m")
DIAMETERS = Range(0.01, 100, "mm")
VOIDAGES = Range(0.2, 0.98, "", "Ergun1952")


@public(returns="Pa", sources=("Ergun1952",))
def ergun_pressure_loss(
    velocity: Annotated[Amount, VELOCITIES],
    depth: Annotated[Amount, DEPTHS],
    diameter: Annotated[Amount, DIAMETERS],
    voidage: Annotated[Number, VOIDAGES],
    density: Annotated[Amount, Range(0.1, 20000, "kg/m**3")],
    viscosity: Annotated[Amount, Range(0.001, 10000, "mPa*s")],
) -> Any:
    """Return the pressure lost in a bed of grains by any liquid or gas, in Pa.

    The first part grows with the flow (friction), the second with its square (turning corners);
    slow water in small grains feels the first, fast water in large ones the second.

    Equation: ΔP / L = 150 μ (1 - ε)² v / (ε³ d²) + 1.75 ρ (1 - ε) v² / (ε³ d).

    Parameters
    ----------
    velocity : quantity, 0 to 1 m/s
        Flow over the area of the empty container.
    depth : quantity, 0 to 10 m
    diameter : quantity, 0.01 to 100 mm
        Effective diameter d: sphericity times the diameter of equal volume, or `ring_diameter`.
    voidage : plain number, 0.2 to 0.98
    density : quantity, 0.1 to 20000 kg/m**3
    viscosity : quantity, 0.001 to 10000 mPa*s

    Returns
    -------
    quantity in Pa

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: Ergun1952 (form read in a textbook table).
    Validity: about 0.1 < ρ v d / (μ (1 - ε)) < 1000 and voidage 0.35 to 0.5; at more than 0.6
    (rings, foam) take it as ±50 %.
    Departures: none; we let it be used outside its range, as everyone does.

    Examples
    --------
    >>> from aqualib.units import Q
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
    velocity: Annotated[Amount, VELOCITIES],
    depth: Annotated[Amount, DEPTHS],
    diameter: Annotated[Amount, DIAMETERS],
    voidage: Annotated[Number, VOIDAGES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Any:
    """Return the pressure that a clean bed of media takes from the water, in Pa.

    Clean media cost millimetres of head; hoses, fittings and dirt cost the rest.

    Equation: ΔP = L (150 μ (1 - ε)² v / (ε³ d²) + 1.75 ρ (1 - ε) v² / (ε³ d)), with the water's
    own ρ and μ.

    Parameters
    ----------
    velocity : quantity, 0 to 1 m/s
        Flow over the area of the empty tray.
    depth : quantity, 0 to 10 m
    diameter : quantity, 0.01 to 100 mm
        Effective diameter of a piece.
    voidage : plain number, 0.2 to 0.98
        Share of the bed that is water between the pieces.
    temperature : quantity, 0 to 40 degC
    salinity : plain number (practical salinity), 0 to 42

    Returns
    -------
    quantity in Pa

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: Ergun1952 (form read in a textbook table), SharqawyEtAl2010 (viscosity).
    Validity: as `ergun_pressure_loss`; clean media in a container many pieces wide.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> tray = {"depth": Q(150, "mm"), "diameter": Q(15, "mm"), "voidage": 0.45}
    >>> bed_pressure_loss(Q(9.26, "mm/s"), **tray, temperature=Q(20, "degC")).round(1)
    <Quantity(12.1, 'pascal')>
    """
    heavy = density.bare(temperature, salinity)
    thick = dynamic_viscosity.bare(temperature, salinity)
    return ergun_pressure_loss.bare(velocity, depth, diameter, voidage, heavy, thick)


def _library_loss(
    diameter: float, voidage: float, velocity: float, heavy: float, thick: float, *wall: float
) -> float:
    from fluids.packed_bed import dP_packed_bed

    container = wall[0] if wall else None
    if not velocity:
        return velocity
    return float(dP_packed_bed(diameter, voidage, velocity, heavy, thick, Dt=container))


@public(returns="Pa", sources=("ErdimEtAl2015", "fluids"))
def general_bed_pressure_loss(
    velocity: Annotated[Amount, VELOCITIES],
    depth: Annotated[Amount, DEPTHS],
    diameter: Annotated[Amount, DIAMETERS],
    voidage: Annotated[Number, VOIDAGES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
    container: Annotated[Amount, Range(1, 10000, "mm")] = None,
) -> Any:
    """Return the pressure that a clean bed takes by a newer fit to more measurements, in Pa.

    Near the wall the pieces lie looser and water slips past; in a narrow canister that matters.

    Equation: ΔP / L = (160 + 2.81 Re^0.904) μ (1 - ε)² v / (ε³ d²), with
    Re = ρ v d / (μ (1 - ε)), from the library fluids; another fit there, with the wall in it, if
    `container` is given.

    Parameters
    ----------
    velocity : quantity, 0 to 1 m/s
    depth : quantity, 0 to 10 m
    diameter : quantity, 0.01 to 100 mm
    voidage : plain number, 0.2 to 0.98
    temperature : quantity, 0 to 40 degC
    salinity : plain number (practical salinity), 0 to 42
    container : quantity, 1 to 10000 mm
        Inside diameter of the container; None leaves its wall out.

    Returns
    -------
    quantity in Pa

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: ErdimEtAl2015 as coded in fluids, function dP_packed_bed.
    Validity: packed spheres; the authors' range is not known to us. It stands beside
    `bed_pressure_loss` to show how far two fits differ (about 10 %).
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> tray = {"depth": Q(150, "mm"), "diameter": Q(15, "mm"), "voidage": 0.45}
    >>> general_bed_pressure_loss(Q(9.26, "mm/s"), **tray, temperature=Q(20, "degC")).round(1)
    <Quantity(11.8, 'pascal')>
    """
    heavy = density.bare(temperature, salinity)
    thick = dynamic_viscosity.bare(temperature, salinity)
    wall = () if container is None else (container,)
    return depth * one_by_one(_library_loss, diameter, voidage, velocity, heavy, thick, *wall)
