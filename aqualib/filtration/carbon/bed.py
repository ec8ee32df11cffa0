"""A bed of carbon: how long the water is in it, what it takes in one pass, how long it lasts."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.filtration.carbon.adsorption import (
    BATCH_VOLUMES,
    FREUNDLICH_CAPACITIES,
    FREUNDLICH_EXPONENTS,
    check_loading,
    freundlich_loading,
)
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range

CARBON_FLOWS = Range(0.001, 1e9, "L/h")
CARBON_DENSITIES = Range(50, 2000, "kg/m**3")


@public(returns="s", sources=())
def empty_bed_contact_time(
    volume: Annotated[Amount, BATCH_VOLUMES],
    flow: Annotated[Amount, CARBON_FLOWS],
) -> Number:
    """Return how long water is in a bed, counted as if the bed were empty, in seconds.

    Water works give it minutes; a canister filter gives it seconds.

    Equation: EBCT = V / Q.

    volume: V, of the bed with its gaps.
    Source: the definition.
    Validity: any bed; the water between the grains is gone in about 0.4 of this time.

    >>> empty_bed_contact_time(Q(0.5, "L"), Q(600, "L/h")).round(6)
    <Quantity(3.0, 'second')>
    """
    return volume / flow


@public(returns="", sources=())
def removed_in_one_pass(
    contact_time: Annotated[Amount, Range(0, 1e7, "s")],
    rate: Annotated[Amount | None, Range(0, 10, "1/s")] = None,
) -> Number:
    """Return the share that fresh carbon takes from water in one pass, as a plain fraction.

    In a few seconds it is a few per cent; in a tank the water comes by again.

    Equation: E = 1 - exp(-k EBCT).

    contact_time: EBCT, from `empty_bed_contact_time`.
    rate: k; None for `carbon_rate`, which is assumed.
    Returns: 0 to 1.
    Source: a first-order law; its constant is assumed.
    Validity: fresh carbon; k depends on grain size, on the substance and on dirt on the grains.

    >>> round(removed_in_one_pass(Q(3, "s"), Q(0.02, "1/s")), 4)
    0.0582
    """
    quick = or_row(rate, "carbon_rate")
    return -np.expm1(-quick * contact_time)


@public(returns="day", sources=("SeaderProblem",), together=check_loading)
def bed_life(
    mass: Annotated[Amount, Range(0, 1e8, "g")],
    flow: Annotated[Amount, CARBON_FLOWS],
    concentration: Annotated[Amount, Range(1e-6, 1e4, "mg/L")],
    capacity: Annotated[Number, FREUNDLICH_CAPACITIES],
    exponent: Annotated[Number, FREUNDLICH_EXPONENTS],
) -> Number:
    """Return the longest that a deep bed can last on water that passes once, in days.

    The whole bed full, and not a drop passed untreated: a real bed lets something through sooner.

    Equation: t = M q(C0) / (Q C0), with q = K C0^(1/n).

    mass: M, of dry carbon.
    concentration: C0, of the water that comes in.
    capacity: K in (mg/g)(L/mg)^(1/n).
    exponent: 1/n.
    Raises: the loading would be above 1000 mg/g.
    Source: SeaderProblem; the balance of a sharp front.
    Validity: an upper bound; contact times of minutes. For a tank in a loop see `carbon_run`.

    >>> bed = {"mass": Q(10000, "lb"), "flow": Q(250, "gal/minute")}
    >>> bed_life(**bed, concentration=Q(4.6, "mg/L"), capacity=8.0, exponent=0.57).round(1)
    <Quantity(13.8, 'day')>
    """
    held = mass * freundlich_loading.bare(concentration, capacity, exponent)
    return held / (flow * concentration)


@public(returns="g", sources=("NHMRC2011",))
def carbon_in_layer(
    area: Annotated[Amount, Range(0.1, 1e6, "cm**2")],
    depth: Annotated[Amount, Range(0, 2000, "mm")],
    bulk_density: Annotated[Amount | None, CARBON_DENSITIES] = None,
    share: Annotated[Number, Range(0, 1)] = 1.0,
) -> Number:
    """Return the carbon in a layer, a bag or a pad, in grams.

    A pad with carbon stuck in it holds a fraction of what a bag of the same size holds.

    Equation: M = A L ρ_b s.

    depth: L.
    bulk_density: ρ_b, of loose dry carbon; None for `carbon_bulk_density`.
    share: s, how much of the room is carbon bed: 1 in a bag, `carbon_pad_share` in a pad
        (assumed).
    Source: NHMRC2011 for the range of the bulk density.
    Validity: dry carbon.

    >>> carbon_in_layer(Q(100, "cm**2"), Q(10, "mm"), Q(450, "kg/m**3")).round(6)
    <Quantity(45.0, 'gram')>
    """
    loose = or_row(bulk_density, "carbon_bulk_density")
    return area * depth * loose * share
