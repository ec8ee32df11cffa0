"""What is assumed of bacteria in a film and in pores: every number, its range, and who says so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.parameters import Parameter, or_row, parameter
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError

# What each number is called here -> its row in data/parameters.csv.
FILM_ROWS = {
    "ammonia_rate": "film_ammonia_rate",
    "nitrite_over_ammonia": "nitrite_over_ammonia",
    "organic_rate": "film_organic_rate",
    "anoxic_pace": "anoxic_pace",
    "ammonia_half": "total_ammonia_half_saturation",
    "nitrite_half": "nitrite_half_saturation",
    "nitrate_half": "nitrate_half_saturation",
    "organic_half": "organic_half_saturation",
    "ammonia_oxygen": "ammonia_oxidiser_oxygen",
    "nitrite_oxygen": "nitrite_oxidiser_oxygen",
    "organic_oxygen": "heterotroph_oxygen",
    "warming": "film_warming",
    "organic_warming": "heterotroph_warming",
    "reference_temperature": "film_capacity_temperature",
    "sea_share": "sea_film_capacity",
    "heterotroph_yield": "heterotroph_yield",
    "denitrifier_yield": "denitrifier_yield",
    "film_share": "film_diffusivity_share",
    "film_organic_share": "film_organic_diffusivity_share",
    "tortuosity": "pore_tortuosity",
    "pore_film": "pore_film_thickness",
    "smallest_pore": "smallest_open_pore",
    "still_water": "still_water_film",
    "bed_voidage": "piece_bed_voidage",
    "anoxic_oxygen": "anoxic_oxygen",
    "most_nitrite": "most_nitrite",
}
# These are less than one, and these at most one.
PARTS = {"heterotroph_yield", "denitrifier_yield", "bed_voidage"}
SHARE = Range(0, 1)
SHARES = {"film_share", "film_organic_share", "sea_share"}


@dataclass(frozen=True, slots=True)
class FilmParameters:
    """The numbers of `FILM_ROWS`, in SI base units."""

    ammonia_rate: float
    nitrite_over_ammonia: float
    organic_rate: float
    anoxic_pace: float
    ammonia_half: float
    nitrite_half: float
    nitrate_half: float
    organic_half: float
    ammonia_oxygen: float
    nitrite_oxygen: float
    organic_oxygen: float
    warming: float
    organic_warming: float
    reference_temperature: float
    sea_share: float
    heterotroph_yield: float
    denitrifier_yield: float
    film_share: float
    film_organic_share: float
    tortuosity: float
    pore_film: float
    smallest_pore: float
    still_water: float
    bed_voidage: float
    anoxic_oxygen: float
    most_nitrite: float


def row_of(name: str) -> Parameter:
    """Return the row that stands behind one number of `FilmParameters`."""
    if name not in FILM_ROWS:
        raise ValidityError(
            "assumption", name, OneOf(tuple(FILM_ROWS)).text, "", "is not assumed here"
        )
    return parameter(FILM_ROWS[name])


def film_with(**changes: float) -> FilmParameters:
    """Return what the rows say, with `changes` in SI base units in place of some.

    A change may lie outside the row's range, but it must be a number above zero.
    """
    for name, value in changes.items():
        row = row_of(name)
        if not (np.isfinite(value) and value > 0.0):
            valid = "a finite number above 0"
            raise ValidityError(name, value, valid, row.origin, "cannot be assumed")
        if (name in PARTS and value >= SHARE.high) or (name in SHARES and value > SHARE.high):
            raise ValidityError(name, value, "a share below 1", row.origin, "cannot be assumed")
    return replace(_from_rows(), **changes)


@lru_cache(maxsize=1)
def _from_rows() -> FilmParameters:
    return FilmParameters(**{name: row_of(name).bare for name in FILM_ROWS})


@public(returns="", sources=())
def pore_film_share(
    pore_diameter: Annotated[Amount, Range(0.01, 1e5, "um")],
    film_thickness: Annotated[Amount | None, Range(0, 1e4, "um")] = None,
    smallest_pore: Annotated[Amount | None, Range(0, 1e4, "um")] = None,
) -> Number:
    """Return the share of the room in a pore that is lived in, as a plain fraction 0 to 1.

    A wide pore has room for bacteria but little wall for them to sit on; a very narrow one is
    closed to them, however much surface it adds on paper.

    Equation: s = 1 - (1 - 2 t / d)^2 in a round pore of width d with a film of thickness t on its
    wall; s = 1 where d <= 2 t (the pore is full), and s = 0 in a pore narrower than bacteria need.

    film_thickness: Left out, the row `pore_film_thickness` of data/parameters.csv (assumed).
    smallest_pore: Left out, the row `smallest_open_pore` of data/parameters.csv (assumed).
    Source: the geometry of a ring; the thickness and the smallest pore are assumed.
    Validity: even, round pores; real pieces have pores of many sizes and shapes.
    Departures: the step at the smallest pore is sharp here and gradual in life.

    >>> pore_film_share(Q(200, "um"), Q(20, "um")).__format__(".2f")
    '0.36'
    """
    film = or_row(film_thickness, "pore_film_thickness")
    least = or_row(smallest_pore, "smallest_open_pore")
    free = np.maximum(1.0 - 2.0 * film / pore_diameter, 0.0)
    return np.where(np.asarray(pore_diameter) < least, 0.0, 1.0 - free * free)
