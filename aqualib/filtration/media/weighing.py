"""Weighing media: three weighings and a bowl of water tell how much of a piece is pores."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.properties import TEMPERATURES, density, first_bad

WEIGHED_MASSES = Range(0.01, 1e6, "g")
SUSPENDED = Range(-1e6, 1e6, "g")
LIQUID_DENSITIES = Range(500, 2000, "kg/m**3")
SOLIDS = Range(10, 25000, "kg/m**3")
PIECE_POROSITIES = Range(0, 0.99, "")
KITCHEN = ZERO_CELSIUS + 20.0
"""20 degC, in kelvin."""


class Immersion(NamedTuple):
    """What three weighings tell of the pieces weighed."""

    apparent_porosity: Any
    bulk_density: Any
    apparent_density: Any
    absorption: Any
    volume: Any


class ClosedPores(NamedTuple):
    """All pores of a piece, and those that water cannot enter."""

    true_porosity: Any
    closed_porosity: Any
    closed_fraction: Any


def check_weighings(dry: Any, suspended: Any, saturated: Any, **_: Any) -> None:
    """Raise unless suspended < dry <= saturated: anything else is a slip with the scale."""
    dry, suspended, saturated = (1000.0 * np.asarray(mass) for mass in (dry, suspended, saturated))
    light = saturated < dry
    if np.any(light):
        wet, bone_dry = first_bad(light, saturated, dry)
        why = "is lighter than the dry pieces; were they dry, and was all of them weighed again?"
        valid = f"at least the dry mass, {bone_dry:g} g"
        raise ValidityError("saturated", f"{wet:g} g", valid, "", why)
    heavy = suspended >= dry
    if np.any(heavy):
        hung, bone_dry = first_bad(heavy, suspended, dry)
        why = "is not lighter than the dry pieces; water carries part of them"
        valid = f"less than the dry mass, {bone_dry:g} g"
        raise ValidityError("suspended", f"{hung:g} g", valid, "", why)


def water_weight(temperature: Any, water_density: Any) -> Any:
    """Return the density of the water weighed in, kg/m³: the one given, or that of fresh water."""
    return density.bare(temperature, 0.0) if water_density is None else water_density


@public(
    returns={
        "apparent_porosity": "",
        "bulk_density": "kg/m**3",
        "apparent_density": "kg/m**3",
        "absorption": "",
        "volume": "mL",
    },
    sources=("Askeland", "ISO18754"),
    together=check_weighings,
)
def immersion_porosity(
    dry: Annotated[Amount, WEIGHED_MASSES],
    suspended: Annotated[Amount, SUSPENDED],
    saturated: Annotated[Amount, WEIGHED_MASSES],
    temperature: Annotated[Amount, TEMPERATURES] = KITCHEN,
    water_density: Annotated[Amount | None, LIQUID_DENSITIES] = None,
) -> Immersion:
    """Return porosity, densities, water taken up and volume of pieces weighed dry, hung and wet.

    A kitchen scale and a bowl of water tell what no label does: how much of a piece is open
    pores, and how much room a kilogram of pieces takes.

    Equation: P = (W - D) / (W - S), B = ρ D / (W - S), T = ρ D / (D - S), A = (W - D) / D and
    V = (W - S) / ρ, with D dry, S suspended in water, W saturated and wiped, ρ of the water.

    dry: Dried in warm air until the mass no longer changes.
    suspended: Soaked and hung in water; below zero if it floats and a sinker, tared, holds it
        down.
    saturated: Soaked, wiped with a damp cloth, weighed in air.
    temperature: Of the water in the bowl, fresh water.
    water_density: Of the liquid in the bowl; left out, that of fresh water at `temperature`.
    Returns: apparent_porosity (open pores over the outer volume); bulk_density (dry mass over
        the outer volume); apparent_density (closed pores count as solid); absorption (water
        taken up over dry mass); volume (outer volume of the piece).
    Raises: the masses are not suspended < dry <= saturated.
    Source: Askeland (a worked example, secondary copy), ISO18754 (scope of the standard).
    Validity: pores that hold their water when wiped, up to about 0.6 mm wide; the standard also
        doubts it above a tenth of open pores, so take a home reading as a good estimate.
    Departures: the air that carries part of the dry mass (0.1 %) is left out.

    >>> found = immersion_porosity(Q(250, "g"), Q(145, "g"), Q(345, "g"))
    >>> round(found.apparent_porosity, 3)
    0.475
    """
    water = water_weight(temperature, water_density)
    outer = saturated - suspended
    return Immersion(
        apparent_porosity=(saturated - dry) / outer,
        bulk_density=water * dry / outer,
        apparent_density=water * dry / (dry - suspended),
        absorption=(saturated - dry) / dry,
        volume=outer / water,
    )


def _check_rise(saturated: Any, rise: Any) -> None:
    none = (np.asarray(rise) <= 0.0) & (np.asarray(saturated) > 0.0)
    if np.any(none):
        why = "is no rise; the pieces must hang in the water and touch nothing"
        raise ValidityError("rise", "0 g", "more than 0 g", "", why)


@public(returns="g", sources=(), together=_check_rise)
def suspended_mass(
    saturated: Annotated[Amount, WEIGHED_MASSES],
    rise: Annotated[Amount, Range(0, 1e6, "g")],
) -> Number:
    """Return what soaked pieces would weigh hung in water, in g, from the rise of a bowl's weight.

    Few kitchen scales have a hook below. Put the bowl of water on the scale, hang the pieces in
    it from a thread held by hand: the reading rises by the weight of the water they push aside.

    Equation: S = W - R, by Archimedes and by action and reaction.

    saturated: Soaked, wiped, weighed in air.
    rise: How much the scale under the bowl of water shows more while the pieces hang in it.
    Returns: To be used as `suspended`.
    Raises: the rise is zero.
    Source: Archimedes' principle.
    Validity: the pieces are wholly under water and touch neither wall nor floor of the bowl.
    Departures: the thread is left out.

    >>> suspended_mass(Q(345, "g"), Q(200, "g"))
    <Quantity(145.0, 'gram')>
    """
    return saturated - rise


def check_solid(bulk_density: Any, apparent_porosity: Any, skeletal_density: Any) -> None:
    """Raise if the solid is no denser than the piece, or leaves less room than the open pores."""
    room = 1.0 - np.asarray(bulk_density) / np.asarray(skeletal_density)
    # A hair of rounding below the open pores is a piece without closed pores.
    bad = (room <= 0.0) | (room < np.asarray(apparent_porosity) - 1e-9)
    if np.any(bad):
        solid, piece, pores = first_bad(bad, skeletal_density, bulk_density, apparent_porosity)
        valid = f"more than the piece, at least {piece / (1.0 - pores):g} kg/m**3"
        why = "is too light for these pores and this piece"
        raise ValidityError("skeletal_density", f"{solid:g} kg/m**3", valid, "", why)


@public(
    returns={"true_porosity": "", "closed_porosity": "", "closed_fraction": ""},
    sources=("Askeland",),
    together=check_solid,
)
def closed_pores(
    bulk_density: Annotated[Amount, SOLIDS],
    apparent_porosity: Annotated[Number, PIECE_POROSITIES],
    skeletal_density: Annotated[Amount, SOLIDS],
) -> ClosedPores:
    """Return all pores of a piece, the closed ones, and their share of all, as plain fractions.

    Closed pores make a piece light and do nothing else: no water, so no bacteria.

    Equation: P_true = 1 - B / ρ_s, P_closed = P_true - P, share = P_closed / P_true.

    bulk_density: Of a piece with its pores, from `immersion_porosity`.
    apparent_porosity: Open pores, from `immersion_porosity`.
    skeletal_density: Of the solid itself, without any pore: about 2500 kg/m³ for glass.
    Raises: the solid is too light for this piece.
    Source: Askeland (a worked example, secondary copy).
    Validity: as good as the density of the solid, which a keeper can only look up.

    >>> found = closed_pores(Q(1250, "kg/m**3"), 0.475, Q(2500, "kg/m**3"))
    >>> (round(found.true_porosity, 3), round(found.closed_fraction, 3))
    (0.5, 0.05)
    """
    true = 1.0 - bulk_density / skeletal_density
    closed = np.maximum(true - apparent_porosity, 0.0)
    return ClosedPores(true, closed, closed / true)


class WeighingUncertainty(NamedTuple):
    """Standard uncertainties of what three weighings tell."""

    apparent_porosity: Any
    bulk_density: Any
    volume: Any


@public(
    returns={"apparent_porosity": "", "bulk_density": "kg/m**3", "volume": "mL"},
    sources=("JCGM100",),
    together=check_weighings,
)
def weighing_uncertainty(
    dry: Annotated[Amount, WEIGHED_MASSES],
    suspended: Annotated[Amount, SUSPENDED],
    saturated: Annotated[Amount, WEIGHED_MASSES],
    scale_step: Annotated[Amount | None, Range(0, 1000, "g")] = None,
    drip: Annotated[Number | None, Range(0, 0.5)] = None,
    temperature: Annotated[Amount, TEMPERATURES] = KITCHEN,
    water_density: Annotated[Amount | None, LIQUID_DENSITIES] = None,
) -> WeighingUncertainty:
    """Return the standard uncertainty of porosity, bulk density and volume from three weighings.

    Weigh a handful, not one piece: the same doubt of the scale then matters less. Twice the
    standard uncertainty either way holds the true value about 19 times out of 20.

    Equation: u² = Σ (∂f/∂m)² u(m)² over m = D, S, W, with u(D) = u(S) = a / √12 from the step a
    of the scale, and u(W)² = a² / 12 + (c W)², c the doubt in the water left on a wiped piece.

    scale_step: Smallest step the scale shows; left out, the row `scale_step` of
        data/parameters.csv. Give a larger one for a scale that is not true.
    drip: Doubt in the wiped mass, as a share of it; left out, the row `wiped_water_doubt`.
    water_density: Left out, that of fresh water at `temperature`.
    Returns: apparent_porosity (one standard uncertainty); bulk_density (likewise); volume
        (likewise).
    Raises: as `immersion_porosity`.
    Source: JCGM100 (the law was read in a secondary text, the guide itself was not).
    Validity: small doubts, each independent of the others; within 3 % of 200 000 random trials
        for a handful on a kitchen scale.
    Departures: a rounded reading is taken as evenly spread over one step, and the zero of the
        scale as exact.

    >>> doubt = weighing_uncertainty(Q(250, "g"), Q(145, "g"), Q(345, "g"), Q(1, "g"), 0.01)
    >>> round(doubt.apparent_porosity, 4)
    0.0092
    """
    step = or_row(scale_step, "scale_step")
    share = or_row(drip, "wiped_water_doubt")
    water = water_weight(temperature, water_density)
    reading = step**2 / 12.0
    wiped = reading + (share * saturated) ** 2
    outer = saturated - suspended
    taken = saturated - dry
    porosity = (reading + wiped * ((dry - suspended) / outer) ** 2
                + reading * (taken / outer) ** 2)  # fmt: skip
    piece = reading + (reading + wiped) * (dry / outer) ** 2
    return WeighingUncertainty(
        apparent_porosity=np.sqrt(porosity) / outer,
        bulk_density=water * np.sqrt(piece) / outer,
        volume=np.sqrt(reading + wiped) / water,
    )
