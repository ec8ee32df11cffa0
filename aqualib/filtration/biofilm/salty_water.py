"""Salt and the film: what a filter keeps of its fresh-water rate in salt, slowly or all at once."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row, parameter
from aqualib.units import Number
from aqualib.validity import Range

SALT = Range(0, 40)
AT_SEA = Range(0.05, 1)


@public(returns="", sources=("NijhofBovendeur1990",))
def salt_share(
    salinity: Annotated[Number, SALT],
    at_sea: Annotated[Number | None, AT_SEA] = None,
) -> Number:
    """Return the share of its fresh-water rate that a filter used to the salt keeps, 0 to 1.

    A marine filter needs about twice the media of a fresh-water one for the same food.

    Equation: s = 1 - (1 - s_sea) min(S / 35, 1).

    at_sea: The share in sea water; None takes `sea_film_capacity` of `data/parameters.csv`.
    Returns: 1 in fresh water.
    Source: NijhofBovendeur1990 for 0.28 against 0.69 g/m²/day, a share of 0.406, which is 2.46
        times the area; another work, from memory, has 0.63.
    Validity: bacteria that have lived in this salinity for months.
    Departures: measured at the two ends only; that the fall between them is a straight line is
        assumed.

    >>> round(salt_share(35, at_sea=0.28 / 0.69), 3)
    0.406
    """
    at_sea = or_row(at_sea, "sea_film_capacity")
    return 1.0 - (1.0 - at_sea) * np.minimum(salinity / parameter("sea_salinity").bare, 1.0)


@public(returns="", sources=("KinyageEtAl2019",))
def share_after_sudden_salt(salinity: Annotated[Number, SALT]) -> Number:
    """Return the share of its rate that a fresh-water filter keeps when put into salt at once.

    A filter moved from a fresh-water tank to a marine one stops: its bacteria need months to
    give way to others.

    Equation: straight lines between 1 up to salinity 10, 0.01 / 0.22 at 15, and 0 from 25 on.

    Returns: 1 for no loss and 0 for a filter that has stopped.
    Source: KinyageEtAl2019: 0.22 m/day before, 0.01 at 15, nothing at 25 and 35; ammonia fell
        fast at 10 and below.
    Validity: the first hours after the change, in moving beds of a fresh-water farm.
    Departures: the source says that ammonia fell fast up to 10, not that nothing was lost
        there; the straight lines are ours.

    >>> share_after_sudden_salt(35)
    0.0
    """
    return np.interp(salinity, (10.0, 15.0, 25.0), (1.0, 0.01 / 0.22, 0.0))
