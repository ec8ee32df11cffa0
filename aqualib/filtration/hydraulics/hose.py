"""Hoses: the head that friction along the wall takes, which often is most of all."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.arguments import one_by_one
from aqualib.edge import public
from aqualib.filtration.hydraulics.head import GRAVITY
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.properties import SALINITIES, TEMPERATURES, density, dynamic_viscosity

LOOP_FLOWS = Range(0, 1e6, "L/h")
BORES = Range(1, 1000, "mm")
HOSE_LENGTHS = Range(0, 1000, "m")
ROUGHNESSES = Range(0, 0.05, "mm")


def pipe_velocity(flow: Any, bore: Any) -> Any:
    """Return the mean velocity in a round pipe, in m/s."""
    return 4.0 * flow / (np.pi * bore**2)


def _friction(reynolds: float, relative_roughness: float) -> float:
    from fluids.friction import friction_factor

    # Still water has no friction, and the law of slow flow would divide by nothing.
    return float(friction_factor(reynolds, relative_roughness)) if reynolds else reynolds


@public(returns="", sources=("SharqawyEtAl2010",))
def reynolds_number(
    flow: Annotated[Amount, LOOP_FLOWS],
    bore: Annotated[Amount, BORES],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the Reynolds number of the flow in a round pipe, as a plain number.

    Below about 2000 the water glides in layers, above about 4000 it tumbles; filter hoses tumble.

    Equation: Re = ρ V D / μ, with V = 4 Q / (π D²).

    bore: Inside diameter.
    Source: a definition; viscosity by SharqawyEtAl2010.
    Validity: round pipes that run full.

    >>> round(reynolds_number(Q(1000, "L/h"), Q(16, "mm"), Q(20, "degC")))
    22026
    """
    thick = dynamic_viscosity.bare(temperature, salinity)
    return density.bare(temperature, salinity) * pipe_velocity(flow, bore) * bore / thick


@public(returns="", sources=("Colebrook1939", "fluids"))
def friction_factor(
    reynolds: Annotated[Number, Range(0, 1e9)],
    relative_roughness: Annotated[Number, Range(0, 0.05)] = 0.0,
) -> Number:
    """Return the Darcy friction factor of a round pipe, as a plain number.

    It is the share of the water's motion energy lost over a length of one bore.

    Equation: 64 / Re in slow flow, else 1 / √f = -2 log10(e / (3.7 D) + 2.51 / (Re √f)), the law
    of Colebrook, solved by the library fluids.

    relative_roughness: e / D, height of the wall's roughness over the bore.
    Returns: 0 for water at rest.
    Source: Colebrook1939 as solved in fluids, function friction_factor.
    Validity: between Re 2040 and 4000 the flow may be of either kind, and so may f.
    Departures: slow flow ends at Re 2040, as in the library; textbooks have 2000 to 2300.

    >>> round(friction_factor(1e5, 1e-4), 5)
    0.01851
    """
    return one_by_one(_friction, reynolds, relative_roughness)


@public(returns="m", sources=("Colebrook1939", "fluids"))
def hose_head_loss(
    flow: Annotated[Amount, LOOP_FLOWS],
    bore: Annotated[Amount, BORES],
    length: Annotated[Amount, HOSE_LENGTHS],
    temperature: Annotated[Amount, TEMPERATURES],
    roughness: Annotated[Amount | None, ROUGHNESSES] = None,
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the head lost along a straight hose, in m of water.

    A bore one quarter narrower takes four times the head, so the hose often decides the flow.

    Equation: h = f (L / D) V² / (2 g), of Darcy and Weisbach, with f from `friction_factor`.

    bore: Inside diameter, not the outside one that hoses are often sold by.
    roughness: Height of the wall's roughness; None takes `hose_roughness` of
        `data/parameters.csv`.
    Source: Colebrook1939 as solved in fluids.
    Validity: a clean, straight, round hose; slime, kinks and coils add to it.
    Departures: as `friction_factor`.

    >>> hose_head_loss(Q(1000, "L/h"), Q(16, "mm"), Q(3, "m"), Q(20, "degC")).round(3)
    <Quantity(0.465, 'meter')>
    """
    wall = or_row(roughness, "hose_roughness")
    reynolds = reynolds_number.bare(flow, bore, temperature, salinity)
    factor = one_by_one(_friction, reynolds, wall / bore)
    return factor * length / bore * pipe_velocity(flow, bore) ** 2 / (2.0 * GRAVITY)
