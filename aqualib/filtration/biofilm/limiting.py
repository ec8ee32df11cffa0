"""Which runs out first inside the biofilm, oxygen or ammonia?"""

from __future__ import annotations

from typing import Annotated, Any

from aqualib.edge import Number, one_number, public
from aqualib.filtration.biofilm.diffusion import diffusivity
from aqualib.units import Amount
from aqualib.validity import Range
from aqualib.water.nitrogen import oxygen_demand
from aqualib.water.properties import SALINITIES, TEMPERATURES

CONCENTRATIONS = Range(0, 1000, "mg/L")


@public(returns="", sources=("TanakaDunn1982", "Boudreau1997"))
def limiting_ratio(
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
    oxygen_per_nitrogen: Annotated[Number, Range(1, 10)] = None,
) -> Any:
    """Return the mg of oxygen per mg of ammonia nitrogen at which both run out at one depth.

    Below it the bacteria lack oxygen, and more flow or aeration helps; above it they lack ammonia,
    and the filter has room to spare.

    Equation: C_O2 / C_N = ν D_N / D_O2.

    Parameters
    ----------
    temperature : quantity, 0 to 40 degC
    salinity : plain number (practical salinity), 0 to 42
    oxygen_per_nitrogen : plain number, 1 to 10
        ν, g of oxygen per g of nitrogen nitrified; left out, that of `oxygen_demand` with growth.

    Returns
    -------
    plain number, mg O2 per mg N, both in the water at the surface of the film

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TanakaDunn1982 (3.4 measured, abstract read); diffusivities as Boudreau1997.
    Validity: films thick enough that something runs out, fed with nothing else that uses oxygen.
    Departures: ν = 4.18 with growth gives 3.45 at 25 °C, 4.57 without growth 3.78. The measured 3.4
    is called stoichiometric by its authors and may be the 3.43 of the first step; that the two
    agree is partly luck.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> round(limiting_ratio(Q(25, "degC")), 2)
    3.45
    """
    per_nitrogen = oxygen_per_nitrogen
    if per_nitrogen is None:
        per_nitrogen = oxygen_demand.bare(1.0, True)
    ammonium = diffusivity.bare("ammonium", temperature, salinity)
    return per_nitrogen * ammonium / diffusivity.bare("oxygen", temperature, salinity)


def what_limits(
    oxygen: Amount, total_ammonia_nitrogen: Amount, temperature: Amount, salinity: float = 0.0
) -> str:
    """Return "oxygen" or "ammonia": what runs out first in a film of nitrifiers in this water.

    Equation: oxygen limits if oxygen / ammonia nitrogen is below `limiting_ratio`. One water at a
    time, with concentrations in mg/L, the temperature in degC.
    """
    there = one_number("oxygen", oxygen, CONCENTRATIONS)
    food = one_number("total_ammonia_nitrogen", total_ammonia_nitrogen, CONCENTRATIONS)
    warm = one_number("temperature", temperature, TEMPERATURES)
    salt = one_number("salinity", salinity, SALINITIES)
    return "oxygen" if there < food * limiting_ratio.bare(warm, salt) else "ammonia"
