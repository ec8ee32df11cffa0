"""Pads and foam: pressure lost clean, and how much more when dirt fills their pores."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.hydraulics.packed_bed import DEPTHS, VELOCITIES
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

DEPOSITS = Range(0, 0.97)
CLEAN_VOIDAGES = Range(0.2, 0.98)


def _check_room(deposit: Any, voidage: Any) -> None:
    if np.any(np.asarray(deposit) >= np.asarray(voidage)):
        why = "fills all the pores or more"
        raise ValidityError("deposit", "the deposit", "less than the clean voidage", "", why)


@public(returns="mm", sources=())
def foam_cell_size(pores_per_inch: Annotated[Number, Range(1, 200)]) -> Any:
    """Return the nominal width of a foam cell, in mm.

    The number on a sponge counts pores along an inch; the windows between cells are what sieves,
    and they are narrower than this.

    Equation: d = 25.4 mm / ppi.

    Source: the definition of the inch.
    Validity: a name more than a size; real cells of foam differ by a factor of two.

    >>> foam_cell_size(30).round(3)
    <Quantity(0.847, 'millimeter')>
    """
    return 0.0254 / pores_per_inch


@public(returns="Pa", sources=("KennedyEtAl2013",))
def pad_pressure_loss(
    velocity: Annotated[Amount, VELOCITIES],
    depth: Annotated[Amount, DEPTHS],
    permeability: Annotated[Amount, Range(1e-12, 1e-3, "m**2")],
    inertial_permeability: Annotated[Amount, Range(1e-8, 1e3, "m")],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
    clogging: Annotated[Number, Range(1, float("inf"))] = 1.0,
) -> Any:
    """Return the pressure that a pad or sponge takes from the water, in Pa.

    A clean pad takes a few millimetres of head; clogged tenfold it begins to rule the flow.

    Equation: ΔP / L = r μ v / k1 + ρ v² / k2 (Darcy and Forchheimer), with r = 1 for a clean pad.

    velocity: Flow over the area of the pad.
    permeability: k1, of slow flow.
    inertial_permeability: k2, of fast flow.
    clogging: r, from `pad_clogging`.
    Source: form as in KennedyEtAl2013 (abstract read).
    Validity: that study had foams of 30 to 80 ppi in water at 0.015 to 0.77 m/s; filter pads
        run slower, where the first term rules.
    Departures: clogging acts on the first term only.

    >>> pad = {"permeability": Q(5.08e-8, "m**2"), "inertial_permeability": Q(5.46e-4, "m")}
    >>> pad_pressure_loss(Q(10, "mm/s"), Q(50, "mm"), **pad, temperature=Q(20, "degC")).round(1)
    <Quantity(19.0, 'pascal')>
    """
    viscous = clogging * dynamic_viscosity.bare(temperature, salinity) * velocity / permeability
    inertial = density.bare(temperature, salinity) * velocity**2 / inertial_permeability
    return depth * (viscous + inertial)


@public(returns="", sources=(), together=_check_room)
def pad_clogging(
    deposit: Annotated[Number, DEPOSITS],
    voidage: Annotated[Number, CLEAN_VOIDAGES],
) -> Any:
    """Return how many times harder a dirty pad is to pass than a clean one, as a plain number.

    Half full it is eight times harder; the last tenth of the room makes it a thousand times.

    Equation: r = (1 - σ / ε0)^-3.

    deposit: σ, the volume of wet dirt per volume of pad.
    voidage: ε0 of the clean pad.
    Returns: 1 for a clean pad.
    Raises: the deposit fills the voidage.
    Source: assumed. It is the part of the Kozeny law that goes with the open pores.
    Validity: pads and foam with voidage of 0.9 and more, where `grain_clogging` rises far too
        steeply; no measurement of aquarium pads was found.

    >>> round(pad_clogging(0.475, 0.95), 3)
    8.0
    """
    return (1.0 - deposit / voidage) ** -3.0


@public(returns="", sources=("Ergun1952",), together=_check_room)
def grain_clogging(
    deposit: Annotated[Number, DEPOSITS],
    voidage: Annotated[Number, CLEAN_VOIDAGES],
) -> Any:
    """Return how many times harder a dirty bed of grains is to pass, as a plain number.

    Grains have little room: a quarter of it filled makes the bed three times harder to pass.

    Equation: r = (ε0 / (ε0 - σ))³ ((1 - ε0 + σ) / (1 - ε0))², of Kozeny.

    deposit: σ, the volume of wet dirt per volume of bed.
    voidage: ε0 of the clean bed.
    Returns: 1 for a clean bed.
    Raises: the deposit fills the voidage.
    Source: the voidage terms of the viscous part of Ergun1952.
    Validity: grains, with dirt spread evenly; a crust on top is worse.

    >>> round(grain_clogging(0.1, 0.4), 3)
    3.226
    """
    solid = 1.0 - voidage
    return (voidage / (voidage - deposit)) ** 3 * ((solid + deposit) / solid) ** 2
