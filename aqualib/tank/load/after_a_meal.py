"""After a meal: when does its ammonia come, and how fast?"""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Amount
from aqualib.validity import Range


class AfterMeal(NamedTuple):
    """What has left the fish of the ammonia of one meal, and how fast more comes."""

    share: Any
    pace: Any


@public(
    returns={"share": "", "pace": "1/hour"},
    sources=("LeeEtAl2015", "BrettZala1975", "BlackSeaTurbot2005"),
)
def ammonia_after_meal(
    time: Annotated[Amount, Range(0, 1000, "hour")],
    peak: Annotated[Amount | None, Range(0.5, 48, "hour")] = None,
) -> AfterMeal:
    """Return the share of a meal's ammonia that has come after a time, and how fast more comes.

    A tank that is tested just before feeding shows the least of the day, some hours after it the
    most: half is out by about ten hours, nearly all within a day and a half.

    Equation: share = 1 - (1 + t/p) e^(-t/p), pace = t/p² e^(-t/p); on average it takes 2 p.

    time: Since the meal, t.
    peak: Hours after which most comes, p; None takes `excretion_peak` of `data/parameters.csv`.
    Returns: share (0 to 1, of all ammonia that the meal becomes in the fish); pace (share that
        comes in an hour).
    Source: the peak was seen 6 h after a meal at 25 °C and 12 h at 12 °C (LeeEtAl2015), after 4
        to 4.5 h (BrettZala1975) and 3 to 6 h (BlackSeaTurbot2005): abstracts read. That it rises
        and falls as two equal steps in a row do is assumed.
    Validity: food that is eaten; food that rots takes days. What fish give off without food, a
        quarter to a third of the peak, comes on top.

    >>> meal = ammonia_after_meal(Q(6, "hour"))
    >>> round(meal.share, 3), meal.pace.round(3)
    (0.264, <Quantity(0.061, '1 / hour')>)
    """
    p = or_row(peak, "excretion_peak")
    gone = time / p
    left = np.exp(-gone)
    return AfterMeal(-np.expm1(-gone) - gone * left, gone / p * left)
