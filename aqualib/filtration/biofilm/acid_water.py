"""Sour water and the film: what a filter keeps of its work where the pH lies below 6.5."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Number
from aqualib.validity import Range
from aqualib.water.ammonia import PRINTED_PH

FILM_PH = Range(5, 10, "", "VillaverdeEtAl1997")
"""pH in which the loss was measured; above 6.5 a film is taken to lose nothing."""
ACID_LOSSES = Range(0, 2)


@public(returns="", sources=("VillaverdeEtAl1997", "Forster1974", "TarreGreen2004"))
def acid_share(
    ph: Annotated[Number, FILM_PH],
    acid_loss: Annotated[Number | None, ACID_LOSSES] = None,
) -> Number:
    """Return the share of its work that a filter used to sour water keeps, 0 to 1.

    Below pH 6.5 little has been measured, and what there is disagrees: plan for less food, and let
    tests tell how your own filter does.

    Equation: s = 1 - a (6.5 - pH) below pH 6.5, never less than 0; 1 from 6.5 up.

    acid_loss: a, for each unit of pH; None takes `film_acid_loss` of `data/parameters.csv`.
    Returns: 1 from pH 6.5 up.
    Source: VillaverdeEtAl1997 for 13 % a unit between pH 5.0 and 9.0 (abstract read);
        Forster1974 saw all work stop at pH 5.5 in the sea, TarreGreen2004 none lost at 4.3
        (abstracts read).
    Validity: a film that has lived in this water for months, with alkalinity left; below pH 5.0
        it ran short. A sudden fall of pH takes far more.
    Departures: the straight line begins at 6.5, where the ammonia limits end too. The same 13 %
        between 7.5 and 6.5 lie within the doubt of the film's capacity, and are left out.

    >>> round(acid_share(6.0, acid_loss=0.13), 3)
    0.935
    """
    loss = or_row(acid_loss, "film_acid_loss")
    below = np.maximum(PRINTED_PH.low - ph, 0.0)
    return np.maximum(1.0 - loss * below, 0.0)
