"""What is not known of a filter: many sets of its uncertain numbers, drawn from their rows."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib import draws
from aqualib.draws import Span, drawn
from aqualib.parameters import parameter

SETS = 500
SEED = 7

DOUBTFUL_ROWS = {
    "transfer": "film_transfer",
    "capacity": "ammonia_film_capacity",
    "at_sea": "sea_film_capacity",
    "nitrifying_share": "nitrifying_share",
    "half_saturation": "total_ammonia_half_saturation",
    "roughness": "rock_roughness",
    "ammonia_per_protein": "ammonia_per_protein",
    "oxygen_per_feed": "oxygen_per_feed",
    "fed_metabolism": "fed_metabolism",
    "dirt_oxygen": "dirt_oxygen_per_feed",
    "solids_per_feed": "solids_per_feed",
    "denitrification_rate": "denitrification_rate",
    "acid_loss": "film_acid_loss",
}
"""Field of `Doubtful` -> row of parameters.csv."""


class Doubtful(NamedTuple):
    """The uncertain numbers in SI base units: floats, or arrays with one entry a set."""

    transfer: Any
    capacity: Any
    at_sea: Any
    nitrifying_share: Any
    half_saturation: Any
    roughness: Any
    ammonia_per_protein: Any
    oxygen_per_feed: Any
    fed_metabolism: Any
    dirt_oxygen: Any
    solids_per_feed: Any
    denitrification_rate: Any
    acid_loss: Any


@lru_cache(maxsize=1)
def best() -> Doubtful:
    """Return the value of each row."""
    return Doubtful(**{field: parameter(row).bare for field, row in DOUBTFUL_ROWS.items()})


@lru_cache(maxsize=1)
def all_sets() -> Doubtful:
    """Return `SETS` sets drawn from the rows."""
    sets = drawn(DOUBTFUL_ROWS.values(), SETS, np.random.default_rng(SEED))
    return Doubtful(
        **{f: sets[row] * parameter(row).to_base(1.0) for f, row in DOUBTFUL_ROWS.items()}
    )


def span(at_best: Any, of_sets: Any) -> Span:
    """Return the span of a result, given its best value and those of all sets."""
    return draws.span(at_best, np.broadcast_to(of_sets, (SETS,)))
