"""Pads and foam: pressure lost clean, and how much more when dirt fills their pores."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.hydraulics.packed_bed import BED_DEPTHS, BED_VELOCITIES
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

DEPOSITS = Range(0, 0.97)
CLEAN_VOIDAGES = Range(0.2, 0.98)


def _check_room(deposit: Any, voidage: Any) -> None:
    if np.any(np.asarray(deposit) >= np.asarray(voidage)):
        why = "fills all the pores or more"
        raise ValidityError("deposit", "the deposit", "less than the clean voidage", "", why)


@public(returns="Pa", sources=("KennedyEtAl2013",))
def pad_pressure_loss(
    velocity: Annotated[Amount, BED_VELOCITIES],
    depth: Annotated[Amount, BED_DEPTHS],
    permeability: Annotated[Amount, Range(1e-12, 1e-3, "m**2")],
    inertial_permeability: Annotated[Amount, Range(1e-8, 1e3, "m")],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
    clogging: Annotated[Number, Range(1, float("inf"))] = 1.0,
) -> Number:
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
) -> Number:
    """Return how many times harder a dirty pad is to pass than a clean one, as a plain number.

    Half full it is eight times harder; the last tenth of the room makes it a thousand times.

    Equation: r = (1 - σ / ε0)^-3.

    deposit: σ, the volume of wet dirt per volume of pad.
    voidage: ε0 of the clean pad.
    Returns: 1 for a clean pad.
    Raises: the deposit fills the voidage.
    Source: assumed. It is the part of the Kozeny law that goes with the open pores.
    Validity: pads and foam with voidage of 0.9 and more, where the law of grains rises far too
        steeply; no measurement of aquarium pads was found.

    >>> round(pad_clogging(0.475, 0.95), 3)
    8.0
    """
    return (1.0 - deposit / voidage) ** -3.0
