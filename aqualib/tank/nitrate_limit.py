"""Nitrate that a part of the filter without oxygen might take out, where someone claims so."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row
from aqualib.water.nitrogen import denitrification_carbon_demand


@public(
    returns="g/day",
    sources=("GrommenEtAl2005", "ChristiansonEtAl2015", "VidalEtAl2002", "KlasEtAl2006"),
)
def nitrate_removed(
    anoxic_volume: Annotated[Amount, Range(0, 1e5, "L")],
    carbon: Annotated[Amount, Range(0, 1e6, "g/day")] = None,
    rate: Annotated[Amount, Range(0, 1000, "mg/L/day")] = None,
    denitrifier_yield: Annotated[Number, Range(0, 0.9)] = None,
) -> Any:
    """Return the nitrate nitrogen that media without oxygen would turn to gas, in g/day.

    Room without oxygen is not enough: without food for the bacteria in it, nitrate stays, and
    nobody has measured what filter media or live rock really do.

    Equation: N = the lower of r V and COD (1 - Y) / 2.856.

    Parameters
    ----------
    anoxic_volume : quantity, 0 to 100000 L
        V, the media that are said to be without oxygen.
    carbon : quantity, 0 to 1e+06 g/day
        COD, food that reaches them, as chemical oxygen demand; None is plenty.
    rate : quantity, 0 to 1000 mg/L/day
        r; None takes `denitrification_rate` of `data/parameters.csv`, which is a guess.
    denitrifier_yield : plain number, 0 to 0.9
        Y; None takes `denitrifier_yield`.

    Returns
    -------
    quantity in g/day, as nitrogen

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: GrommenEtAl2005 measured 18.5 mg/L/day in a reactor fed with hydrogen,
    ChristiansonEtAl2015 710 to 800 on fluidised sulphur, VidalEtAl2002 0.14 to 0.49 per litre of
    tank with a side column; KlasEtAl2006 found 4 to 6 g of food needed for each g of nitrogen.
    Validity: bounds from reactors made for the purpose; contested for filter media.
    Departures: the food needed is reckoned with Y and comes to 8.7 g, above the 4 to 6 found.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> nitrate_removed(Q(2, "L"), rate=Q(18.5, "mg/L/day")).to("mg/day")
    <Quantity(37.0, 'milligram / day')>
    """
    rate = or_row(rate, "denitrification_rate")
    most = rate * anoxic_volume
    if carbon is None:
        return most
    return np.minimum(most, carbon / denitrification_carbon_demand.bare(1.0, denitrifier_yield))
