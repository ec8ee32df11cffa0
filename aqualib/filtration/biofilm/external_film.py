"""The still film of water outside a piece: how fast substances cross it to reach the bacteria."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.filtration.biofilm.diffusion import DIFFUSIVITIES
from aqualib.filtration.hydraulics.packed_bed import BED_VELOCITIES, ERGUN_VOIDAGES, GRAIN_DIAMETERS
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity, first_bad

REYNOLDS = Range(0.0016, 1500, "", "WilsonGeankoplis1966")
SCHMIDT = Range(165, 70600)
"""Measured from 950 up; a textbook, from memory, goes down to 165, so no source is named."""
BRANCH = 55.0
"""Reynolds number at which the second law of Wilson & Geankoplis takes over."""
COEFFICIENTS = Range(1e-9, 1, "m/s")


def kinematic_viscosity(temperature: Any, salinity: Any) -> Any:
    """Return the viscosity of water over its density, in m²/s, from plain SI numbers."""
    return dynamic_viscosity.bare(temperature, salinity) / density.bare(temperature, salinity)


def _numbers(
    velocity: Any, diameter: Any, diffusivity: Any, temperature: Any, salinity: Any
) -> tuple[Any, Any]:
    """Return the Reynolds and the Schmidt number."""
    kinematic = kinematic_viscosity(temperature, salinity)
    return velocity * diameter / kinematic, kinematic / diffusivity


def _check_numbers(
    velocity: Any,
    diameter: Any,
    diffusivity: Any,
    temperature: Any,
    salinity: Any,
    **_: Any,
) -> None:
    numbers = _numbers(velocity, diameter, diffusivity, temperature, salinity)
    names = ("velocity x diameter / viscosity (Reynolds)", "viscosity / diffusivity (Schmidt)")
    for name, number, rule in zip(names, numbers, (REYNOLDS, SCHMIDT), strict=True):
        outside = ~np.asarray(rule.holds(number))
        if np.any(outside):
            (value,) = first_bad(outside, number)
            raise ValidityError(name, f"{value:g}", rule.text, rule.source, "is out of range")


@public(
    returns="m/s", sources=("WilsonGeankoplis1966", "SharqawyEtAl2010"), together=_check_numbers
)
def bed_film_coefficient(
    velocity: Annotated[Amount, BED_VELOCITIES],
    diameter: Annotated[Amount, GRAIN_DIAMETERS],
    voidage: Annotated[Number, ERGUN_VOIDAGES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return how fast a substance crosses to the surface of pieces in a bed, in m/s.

    Slow water leaves a thick still film on each piece; twice the flow brings only a quarter more.

    Equation: k = J v Sc^(-2/3), with ε J = 1.09 Re^(-2/3) below Re = 55 and 0.25 Re^(-0.31) above;
    Re = ρ v d / μ, Sc = μ / (ρ D).

    velocity: Flow over the area of the empty tray.
    diffusivity: In the water.
    Raises: Re or Sc lies outside 0.0016 to 1500 or 165 to 70600.
    Source: WilsonGeankoplis1966 (coefficients read in code that cites the paper),
        SharqawyEtAl2010 (viscosity).
    Validity: balls, voidage about 0.4; measured at Sc of 950 and more.
    Departures: used down to Sc 165, as a textbook does from memory, because oxygen in water has
        250 to 1400. At Re = 55 the two laws differ by 4.4 %, and the result steps down.

    >>> bed = {"diameter": Q(5, "mm"), "voidage": 0.4, "temperature": Q(20, "degC")}
    >>> bed_film_coefficient(Q(5, "mm/s"), diffusivity=Q(1e-9, "m**2/s"), **bed).to("um/s").round(1)
    <Quantity(15.9, 'micrometer / second')>
    """
    reynolds, schmidt = _numbers(velocity, diameter, diffusivity, temperature, salinity)
    slow = 1.09 * reynolds ** (-2.0 / 3.0)
    fast = 0.25 * reynolds ** (-0.31)
    factor = np.where(np.asarray(reynolds) < BRANCH, slow, fast) / voidage
    return factor * velocity * schmidt ** (-2.0 / 3.0)


@public(returns="um", sources=())
def film_thickness(
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    coefficient: Annotated[Amount, COEFFICIENTS],
) -> Number:
    """Return how thick a layer of still water would hinder a substance as much, in µm.

    Nobody sees this film; it is a way to picture how the last stretch slows oxygen down.

    Equation: δ = D / k.

    diffusivity: In the water.
    coefficient: k, from `bed_film_coefficient`.
    Source: the definition of a stagnant film.
    Validity: any; slower substances see a thinner film, since k goes with D to the power 2/3.

    >>> film_thickness(Q(2e-9, "m**2/s"), Q(2e-5, "m/s")).round(1)
    <Quantity(100.0, 'micrometer')>
    """
    return diffusivity / coefficient


@public(returns="g/m**2/day", sources=())
def film_flux(
    difference: Annotated[Amount, Range(0, 1000, "mg/L")],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    thickness: Annotated[Amount, Range(0.1, 1e5, "um")],
) -> Number:
    """Return the most that can cross a film of still water, in g/m² a day.

    However hungry the bacteria, they never get more than this.

    Equation: J = D ΔC / δ.

    difference: Concentration in the water less that at the bacteria; the water's own for the
        most.
    Source: Fick's first law.
    Validity: a flat film, thin beside the piece.

    >>> film_flux(Q(8, "mg/L"), Q(1.835e-9, "m**2/s"), Q(100, "um")).round(2)
    <Quantity(12.68, 'gram / meter ** 2 / day')>
    """
    return diffusivity * difference / thickness
