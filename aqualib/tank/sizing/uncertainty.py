"""What is not known of a filter: many sets of its uncertain numbers, drawn from their rows."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.parameters import parameter
from aqualib.tank.maturation.forecast import at_quantile

SETS = 500
SEED = 7
LOW, HIGH = 0.05, 0.95
"""Shares of the sets that lie below the ends of a span."""

ROWS = {
    "first_order": "ammonia_first_order",
    "maximum": "ammonia_film_capacity",
    "at_sea": "sea_film_capacity",
    "working_share": "media_working_share",
    "roughness": "rock_roughness",
    "ammonia_per_protein": "ammonia_per_protein",
    "oxygen_per_feed": "oxygen_per_feed",
    "fed_metabolism": "fed_metabolism",
    "dirt_oxygen": "dirt_oxygen_per_feed",
    "solids_per_feed": "solids_per_feed",
    "denitrification_rate": "denitrification_rate",
}
"""Field of `Doubtful` -> row of parameters.csv."""


class Doubtful(NamedTuple):
    """The uncertain numbers in SI base units: floats, or arrays with one entry a set."""

    first_order: Any
    maximum: Any
    at_sea: Any
    working_share: Any
    roughness: Any
    ammonia_per_protein: Any
    oxygen_per_feed: Any
    fed_metabolism: Any
    dirt_oxygen: Any
    solids_per_feed: Any
    denitrification_rate: Any


class Span(NamedTuple):
    """Low, best and high: 5 and 95 of 100 sets lie below the ends; best is from the rows."""

    low: Any
    best: Any
    high: Any


@lru_cache(maxsize=1)
def best() -> Doubtful:
    """Return the value of each row."""
    return Doubtful(**{field: parameter(row).bare for field, row in ROWS.items()})


@lru_cache(maxsize=1)
def drawn() -> Doubtful:
    """Return `SETS` sets drawn by Latin hypercube, half of each number above its row's value.

    The numbers are drawn independently of one another (an assumption).
    """
    random = np.random.default_rng(SEED)
    sets = {}
    for field, row in ROWS.items():
        places = (random.permutation(SETS) + random.random(SETS)) / SETS
        sets[field] = at_quantile(row, places) * parameter(row).to_base(1.0)
    return Doubtful(**sets)


def span(at_best: Any, of_sets: Any) -> Span:
    """Return the span of a result, given its best value and those of all sets."""
    ordered = np.sort(np.broadcast_to(of_sets, (SETS,)))
    low, high = ordered[int(LOW * SETS)], ordered[int(HIGH * SETS)]
    return Span(float(min(low, at_best)), float(at_best), float(max(high, at_best)))
