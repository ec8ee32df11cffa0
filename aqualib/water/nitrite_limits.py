"""Nitrite: how much of it may stay in this water, and how chloride makes it less harmful."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row, parameter
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.properties import SALINITIES
from aqualib.water.properties import chloride as chloride_of_salt

# Chloride from which each step of the guideline holds, and the nitrite it allows, in kg/m³.
STEPS = np.array([2e-3, 4e-3, 6e-3, 8e-3])
ALLOWED = np.array([2e-5, 4e-5, 6e-5, 8e-5, 1e-4])
RICH, ALLOWED_IN_RICH = 1e-2, 2e-4
"""Above this chloride the guideline is at its highest, and this is it, in kg/m³."""
HAIR = 1e-9


@public(
    returns="mg/L",
    sources=("BCNitrite2009", "SiikavuopioSaether2006", "MilleroEtAl2008", "Tomasso1986"),
)
def safe_nitrite(
    salinity: Annotated[Number, SALINITIES] = 0.0,
    chloride: Annotated[Amount | None, Range(0, 30000, "mg/L")] = None,
) -> Number:
    """Return the nitrite that animals are taken to bear for months, in mg/L as nitrogen.

    Nitrite gets into a fish through the gills, by the door for chloride: the more chloride the
    water holds, the less nitrite gets in. Soft water is the dangerous one.

    Equation: a table of steps: 0.02 mg N/L below 2 mg/L of chloride, 0.02 more for each further
    2 mg/L, 0.10 from 8 to 10 and 0.20 above 10; from there in a straight line of chloride to
    the row `safe_nitrite_sea` at the row `sea_salinity`.

    salinity: Of sea salt; its chloride is that of `chloride` of water.properties.
    chloride: Of the tap water, from its report or a test; None takes `tap_chloride` of
        `data/parameters.csv`. What counts is the larger of this and that of the salt.
    Returns: As nitrogen; a test that reads nitrite as the ion shows 3.3 times as much.
    Source: BCNitrite2009 for fresh water (30-day mean, a government's table as it stands in its
        own code); SiikavuopioSaether2006 (abstract) for the sea: cod grew less for 96 days at
        1.0 mg N/L, the least that was tried, and a third of it is taken; MilleroEtAl2008 for
        the chloride of salt; Tomasso1986 (abstract): chloride guards catfish, not largemouth bass.
    Validity: set for wild waters with their tenderest animals; for a short time three times as
        much is allowed there. Trout in 10 mg/L of chloride grew less at 0.06 mg N/L, which is
        below this level (KroupovaEtAl2008); zebrafish only at 22 (VoslarovaEtAl2008). Chloride
        does not protect all kinds of fish.
    Departures: the third, and the straight line between fresh and sea water, are ours.

    >>> safe_nitrite().round(2)
    <Quantity(0.1, 'milligram / liter')>
    >>> safe_nitrite(chloride=Q(3, "mg/L")).round(2), safe_nitrite(35).round(2)
    (<Quantity(0.04, 'milligram / liter')>, <Quantity(0.3, 'milligram / liter')>)
    """
    there = np.maximum(or_row(chloride, "tap_chloride"), chloride_of_salt.bare(salinity))
    sea = chloride_of_salt.bare(parameter("sea_salinity").bare)
    more = parameter("safe_nitrite_sea").bare - ALLOWED_IN_RICH
    towards_sea = np.minimum((there - RICH) / (sea - RICH), 1.0)
    # A reading that stands on an edge may have been rounded down on its way here.
    in_poor = ALLOWED[np.searchsorted(STEPS, there * (1.0 + HAIR), side="right")]
    return np.where(there > RICH * (1.0 + HAIR), ALLOWED_IN_RICH + more * towards_sea, in_poor)[()]
