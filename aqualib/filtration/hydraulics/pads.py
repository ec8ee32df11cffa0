"""Pads and foam: how well water passes, pressure lost, and how much more when dirt fills them."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.filtration.hydraulics.packed_bed import BED_DEPTHS, BED_VELOCITIES
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

DEPOSITS = Range(0, 0.97)
CLEAN_VOIDAGES = Range(0.2, 0.99)
CELL_WIDTHS = Range(0.1, 20, "mm")


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
    slow, fast = _terms(depth, permeability, inertial_permeability, temperature, salinity)
    return clogging * slow * velocity + fast * velocity**2


def _terms(
    depth: Any, permeability: Any, inertial: Any, temperature: Any, salinity: Any
) -> tuple[Any, Any]:
    """Return μ L / k1 and ρ L / k2."""
    slow = dynamic_viscosity.bare(temperature, salinity) * depth / permeability
    return slow, density.bare(temperature, salinity) * depth / inertial


class Resistance(NamedTuple):
    """What a pad takes of the head: h = r linear Q + square Q², with r from `pad_clogging`.

    In SI base units; arrays are layers.
    """

    linear: Any
    square: Any


def pad_resistance(
    area: Any,
    depth: Any,
    permeability: Any,
    inertial_permeability: Any,
    temperature: Any,
    salinity: Any,
) -> Resistance:
    """Return `pad_pressure_loss` as heads of a flow, on plain SI numbers: for solvers."""
    slow, fast = _terms(depth, permeability, inertial_permeability, temperature, salinity)
    weight = density.bare(temperature, salinity) * GRAVITY
    return Resistance(slow / (area * weight), fast / (area * area * weight))


@public(returns="m**2", sources=("DoutresEtAl2014",))
def foam_permeability(
    cell: Annotated[Amount, CELL_WIDTHS],
    ratio: Annotated[Number | None, Range(1e-4, 0.1)] = None,
) -> Number:
    """Return the permeability of clean open foam, in m².

    Foam with cells half as wide lets a quarter of the water through.

    Equation: k1 = a D².

    cell: D, width of a cell; about two steps of the pores counted along an inch.
    ratio: a; left out, the row `foam_permeability_ratio` of data/parameters.csv.
    Returns: For `pad_pressure_loss`.
    Source: DoutresEtAl2014 (secondary copy): one foam with cells of 0.673 mm in air. The law is a
        matter of size: the same shape, larger.
    Validity: polyurethane foam without skins in its windows; other such foams lie within a
        factor of 1.6 of it. Skins, as in foam for cushions, make it several times harder to pass.

    >>> foam_permeability(Q(1, "mm")).to("mm**2")
    <Quantity(0.0117, 'millimeter ** 2')>
    """
    return or_row(ratio, "foam_permeability_ratio") * cell**2


@public(returns="m", sources=("OpenPoreFoam1964",))
def foam_inertial_permeability(
    cell: Annotated[Amount, CELL_WIDTHS],
    ratio: Annotated[Number | None, Range(1e-3, 100)] = None,
) -> Number:
    """Return the inertial permeability of clean open foam, in m.

    It tells how hard fast water is to turn round the threads; in a filter it hardly counts.

    Equation: k2 = b D.

    cell: D, width of a cell.
    ratio: b; left out, the row `foam_inertial_ratio` of data/parameters.csv.
    Returns: For `pad_pressure_loss`.
    Source: OpenPoreFoam1964: two pressures in fast air, less what friction takes.
    Validity: a factor of two either way.

    >>> foam_inertial_permeability(Q(2, "mm")).to("mm")
    <Quantity(3.0, 'millimeter')>
    """
    return or_row(ratio, "foam_inertial_ratio") * cell


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
