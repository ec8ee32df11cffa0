"""Diffusion: how fast oxygen, ammonium and the rest wander through water, biofilm and pores."""

from __future__ import annotations

from typing import Annotated, Any

from aqualib.edge import public
from aqualib.parameters import or_row, parameter
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import OneOf, Range
from aqualib.water.properties import SALINITIES, TEMPERATURES, dynamic_viscosity

SPECIES = ("oxygen", "ammonium", "nitrite", "nitrate", "organic carbon")
DIFFUSIVITIES = Range(1e-13, 1e-8, "m**2/s")
# Straight lines in °C for the ions, in 1e-10 m²/s (Boudreau 1997).
ION_LINES = {"ammonium": (9.50, 0.413), "nitrite": (10.3, 0.331), "nitrate": (9.50, 0.388)}


def _in_fresh_water(species: str, temperature: Any, viscosity: Any) -> Any:
    if species == "oxygen":
        # The fit takes the viscosity in mPa s (centipoise).
        return 1e-9 * (0.2604 + 0.006383 * temperature / (1e3 * viscosity))
    if species in ION_LINES:
        start, slope = ION_LINES[species]
        return 1e-10 * (start + slope * (temperature - ZERO_CELSIUS))
    at = parameter("diffusivity_reference_temperature").bare
    warmer = temperature / at * dynamic_viscosity.bare(at) / viscosity
    return parameter("organic_diffusivity").bare * warmer


@public(returns="m**2/s", sources=("Boudreau1997", "SharqawyEtAl2010"))
def diffusivity(
    species: Annotated[str, OneOf(SPECIES)],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return how fast a dissolved substance spreads by itself in still water, in m²/s.

    Spreading takes a second for a few hundredths of a millimetre but hours for a centimetre: this
    is why only the skin of a piece of medium is well fed.

    Equation: in fresh water oxygen D = (0.2604 + 0.006383 T / μ) 1e-9, with T in kelvin and μ in
    mPa s; ammonium D = (9.50 + 0.413 t) 1e-10, nitrite (10.3 + 0.331 t) 1e-10, nitrate
    (9.50 + 0.388 t) 1e-10, with t in °C; organic carbon D in proportion to T / μ. In salt water D
    is smaller by the ratio of the viscosities.

    species: Organic carbon stands for small molecules, between sugar and vinegar.
    Source: Boudreau1997 (read as code that cites it), SharqawyEtAl2010 (viscosity); the row
        `organic_diffusivity` of data/parameters.csv for organic carbon.
    Validity: the range of the fits is not known to us. At 25 °C other sources give oxygen 2.0
        to 2.4e-9 m²/s: take ±10 %.
    Departures: the viscosity is ours, not that of the code: D differs by up to 0.9 % in fresh
        water and by 1.5 % in sea water at 0 °C.

    >>> diffusivity("oxygen", Q(20, "degC")).to("um**2/s").round(0)
    <Quantity(2128.0, 'micrometer ** 2 / second')>
    """
    fresh = dynamic_viscosity.bare(temperature)
    here = dynamic_viscosity.bare(temperature, salinity)
    return _in_fresh_water(species, temperature, fresh) * fresh / here


@public(returns="m**2/s", sources=("SiegristGujer1985", "FuEtAl1994"))
def effective_diffusivity(
    free: Annotated[Amount, DIFFUSIVITIES],
    share: Annotated[Number | None, Range(0.01, 1)] = None,
) -> Number:
    """Return how fast a substance spreads in biofilm, in m²/s.

    Slime and cells stand in the way, so it spreads about half as fast as in water.

    Equation: D_e = share D.

    free: In water, from `diffusivity`.
    share: Left out, the row `film_diffusivity_share` of data/parameters.csv.
    Source: SiegristGujer1985 (50 to 60 % measured), FuEtAl1994 (25 % at the base of a film, 90
        % at its surface).
    Validity: small molecules and ions; large molecules spread more slowly still.
    Departures: one share for the whole film, though it falls with depth.

    >>> effective_diffusivity(Q(2.4e-9, "m**2/s"), 0.5).to("um**2/s").round(0)
    <Quantity(1200.0, 'micrometer ** 2 / second')>
    """
    left = or_row(share, "film_diffusivity_share")
    return left * free


@public(returns="m**2/s", sources=())
def pore_diffusivity(
    free: Annotated[Amount, DIFFUSIVITIES],
    inner_porosity: Annotated[Number, Range(0, 1)],
    tortuosity: Annotated[Number | None, Range(1, 20)] = None,
) -> Number:
    """Return how fast a substance spreads through a porous solid, in m²/s of whole section.

    Most of the section is stone, and the way through the pores winds.

    Equation: D_e = D ε / τ.

    free: In what fills the pores: water, or biofilm.
    inner_porosity: Share of the piece that is open pores, as `apparent_porosity` of three
        weighings.
    tortuosity: Left out, the row `pore_tortuosity` of data/parameters.csv (assumed).
    Source: the definition of tortuosity as a factor; its value is assumed.
    Validity: pores much wider than the molecule. Some authors write the square of a tortuosity
        where τ stands here.

    >>> pore_diffusivity(Q(2.4e-9, "m**2/s"), 0.5, 2.0).to("um**2/s").round(0)
    <Quantity(600.0, 'micrometer ** 2 / second')>
    """
    winding = or_row(tortuosity, "pore_tortuosity")
    return free * inner_porosity / winding
