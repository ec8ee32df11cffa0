"""Which runs out first inside the biofilm, oxygen or ammonia?"""

from __future__ import annotations

from typing import Annotated

from aqualib.edge import model, public
from aqualib.filtration.biofilm.diffusion import diffusivity
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.nitrogen import oxygen_demand
from aqualib.water.properties import SALINITIES, TEMPERATURES

FILM_CONCENTRATIONS = Range(0, 1000, "mg/L")


@public(returns="", sources=("TanakaDunn1982", "Boudreau1997"))
def limiting_ratio(
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
    oxygen_per_nitrogen: Annotated[Number | None, Range(1, 10)] = None,
) -> Number:
    """Return the mg of oxygen per mg of ammonia nitrogen at which both run out at one depth.

    Below it the bacteria lack oxygen, and more flow or aeration helps; above it they lack ammonia,
    and the filter has room to spare.

    Equation: C_O2 / C_N = ν D_N / D_O2.

    oxygen_per_nitrogen: ν, g of oxygen per g of nitrogen nitrified; left out, that of
        `oxygen_demand` with growth.
    Returns: Mg O2 per mg N, both in the water at the surface of the film.
    Source: TanakaDunn1982 (3.4 measured, abstract read); diffusivities as Boudreau1997.
    Validity: films thick enough that something runs out, fed with nothing else that uses
        oxygen.
    Departures: ν = 4.33 with growth gives 3.58 at 25 °C, 4.57 without growth 3.78. The measured
        3.4 is called stoichiometric by its authors and may be the 3.43 of the first step; they
        do not say per mg of what, so it need not meet ours.

    >>> round(limiting_ratio(Q(25, "degC")), 2)
    3.58
    """
    per_nitrogen = oxygen_per_nitrogen
    if per_nitrogen is None:
        per_nitrogen = oxygen_demand.bare(1.0, True)
    ammonium = diffusivity.bare("ammonium", temperature, salinity)
    return per_nitrogen * ammonium / diffusivity.bare("oxygen", temperature, salinity)


@model(returns="")
def what_limits(
    oxygen: Annotated[float, FILM_CONCENTRATIONS],
    total_ammonia_nitrogen: Annotated[float, FILM_CONCENTRATIONS],
    temperature: Annotated[float, TEMPERATURES],
    salinity: Annotated[float, SALINITIES] = 0.0,
) -> str:
    """Return "oxygen" or "ammonia": what runs out first in a film of nitrifiers in this water.

    Equation: oxygen limits if oxygen / ammonia nitrogen is below `limiting_ratio`.
    """
    enough = total_ammonia_nitrogen * limiting_ratio.bare(temperature, salinity)
    return "oxygen" if oxygen < enough else "ammonia"
