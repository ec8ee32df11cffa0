"""Solids measured before and after real filters: storm water, since no tank has been measured so.

The question put to the data: how often is the outflow cleaner than the inflow, when the inflow is
dirty, and when it is nearly clean already?
"""

from __future__ import annotations

import statistics
from functools import lru_cache
from typing import NamedTuple

from aqualib.files import data_file, rows_of

SOURCE = "StormwaterBMPDatabase"


class Pair(NamedTuple):
    """One storm: suspended solids in and out, mg/L."""

    treatment: str
    inflow: float
    outflow: float
    below_detection: bool
    """True if the outflow was too clean to measure; `outflow` is then the detection limit."""


class Shares(NamedTuple):
    """Of the storms at one kind of treatment, the share in which the water left cleaner."""

    treatment: str
    pairs: int
    median_inflow: float
    """mg/L; it divides the dirtier half from the cleaner half."""
    dirtier_half: float
    cleaner_half: float


@lru_cache(maxsize=1)
def paired_solids() -> tuple[Pair, ...]:
    """Return every pair in `data/paired_solids.csv`."""
    return tuple(
        Pair(
            row["treatment"],
            float(row["inflow_mg_per_l"]),
            float(row["outflow_mg_per_l"]),
            row["below_detection"] == "yes",
        )
        for row in rows_of(data_file("paired_solids.csv"))
    )


def shares_cleaner() -> tuple[Shares, ...]:
    """Return, for each treatment, how often it helped on dirty and on nearly clean water.

    A limit of detection counts as it stands: the water may be cleaner still, so these shares are
    not too high on its account.
    """
    treatments = sorted({pair.treatment for pair in paired_solids()})
    return tuple(_shares(t, [p for p in paired_solids() if p.treatment == t]) for t in treatments)


def _shares(treatment: str, pairs: list[Pair]) -> Shares:
    middle = statistics.median(pair.inflow for pair in pairs)
    dirtier = [pair for pair in pairs if pair.inflow > middle]
    cleaner = [pair for pair in pairs if pair.inflow <= middle]
    return Shares(treatment, len(pairs), middle, _helped(dirtier), _helped(cleaner))


def _helped(pairs: list[Pair]) -> float:
    return sum(pair.outflow < pair.inflow for pair in pairs) / len(pairs)
