"""How sure three weighings are: the step of the scale and the water left on a wiped piece."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.filtration.weighing import (
    DENSITIES,
    KITCHEN,
    MASSES,
    SUSPENDED,
    check_weighings,
    water_weight,
)
from aqualib.parameters import or_row
from aqualib.water.properties import TEMPERATURES


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
    dry: Annotated[Amount, MASSES],
    suspended: Annotated[Amount, SUSPENDED],
    saturated: Annotated[Amount, MASSES],
    scale_step: Annotated[Amount, Range(0, 1000, "g")] = None,
    drip: Annotated[Number, Range(0, 0.5)] = None,
    temperature: Annotated[Amount, TEMPERATURES] = KITCHEN,
    water_density: Annotated[Amount, DENSITIES] = None,
) -> Any:
    """Return the standard uncertainty of porosity, bulk density and volume from three weighings.

    Weigh a handful, not one piece: the same doubt of the scale then matters less. Twice the
    standard uncertainty either way holds the true value about 19 times out of 20.

    Equation: u² = Σ (∂f/∂m)² u(m)² over m = D, S, W, with u(D) = u(S) = a / √12 from the step a
    of the scale, and u(W)² = a² / 12 + (c W)², c the doubt in the water left on a wiped piece.

    Parameters
    ----------
    dry : quantity, 0.01 to 1e+06 g
    suspended : quantity, -1e+06 to 1e+06 g
    saturated : quantity, 0.01 to 1e+06 g
    scale_step : quantity, 0 to 1000 g
        Smallest step the scale shows; left out, the row `scale_step` of data/parameters.csv.
        Give a larger one for a scale that is not true.
    drip : plain number, 0 to 0.5
        Doubt in the wiped mass, as a share of it; left out, the row `wiped_water_doubt`.
    temperature : quantity, 0 to 40 degC
    water_density : quantity, 500 to 2000 kg/m**3
        Left out, that of fresh water at `temperature`.

    Returns
    -------
    apparent_porosity (plain number), bulk_density (kg/m³) and volume (mL), each as one standard
    uncertainty

    Raises
    ------
    ValidityError
        As `immersion_porosity`.

    Notes
    -----
    Source: JCGM100 (the law was read in a secondary text, the guide itself was not).
    Validity: small doubts, each independent of the others; within 3 % of 200 000 random trials
    for a handful on a kitchen scale.
    Departures: a rounded reading is taken as evenly spread over one step, and the zero of the
    scale as exact.

    Examples
    --------
    >>> from aqualib.units import Q
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
