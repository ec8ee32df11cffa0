"""How sure a working piece is: each assumption in turn at the low and the high end of its range."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from aqualib.edge import with_units
from aqualib.filtration.porous_piece.answers import WorkingPiece
from aqualib.filtration.porous_piece.film_parameters import FILM_ROWS, row_of
from aqualib.filtration.porous_piece.piece import UNITS, has_units, solved_piece
from aqualib.parameters import parameter

ANSWERS = (
    "nitrified",
    "nitrified_per_volume",
    "working_depth",
    "anoxic_share",
    "denitrified",
)
"""What is given with a low and a high end, each as in `WorkingPiece`."""
# Definitions and conditions, not doubts.
CERTAIN = {"reference_temperature", "bed_voidage", "anoxic_oxygen", "most_nitrite"}
FILM = "film"
IS_SHARE = np.array([name == "anoxic_share" for name in ANSWERS])
LEAST = 1e-30
"""Stands in for nothing at all, which has no logarithm."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Low and high ends of the answers, and what each assumption does to the nitrified ammonia.

    In SI base units, or as quantities, as the result asked about. `swings` gives for each
    assumption the nitrified ammonia at its low and at its high end, the widest first.
    """

    low: dict[str, Any]
    high: dict[str, Any]
    swings: dict[str, tuple[Any, Any]]

    @property
    def largest(self) -> str:
        """The assumption that matters most to the nitrified ammonia."""
        return next(iter(self.swings))


def piece_doubt(result: WorkingPiece, *, film_known: bool = False) -> Doubt:
    """Return how far each answer of a result may be off.

    Each assumption in turn is put at both ends of its row of `data/parameters.csv`. The factors
    by which an answer falls and rises are added as squares of their logarithms, as those of
    independent errors; the share of the core, which may be nothing, by its differences.
    """
    if has_units(result):
        bare = solved_piece(result.piece, result.water, result.assumed)
        return _as_quantities(piece_doubt(bare, film_known=film_known))
    best = np.array([getattr(result, name) for name in ANSWERS])
    swings, below, above = {}, np.zeros(len(ANSWERS)), np.zeros(len(ANSWERS))
    for name, ends in _ends(result, film_known=film_known):
        found = np.array([[getattr(end, answer) for answer in ANSWERS] for end in ends])
        apart = _apart(found, best)
        below += np.minimum(apart.min(axis=0), 0.0) ** 2
        above += np.maximum(apart.max(axis=0), 0.0) ** 2
        swings[name] = (float(found[0, 0]), float(found[1, 0]))
    widest = sorted(swings, key=lambda name: -abs(swings[name][1] - swings[name][0]))
    low, high = _from(best, -np.sqrt(below)), _from(best, np.sqrt(above))
    high["working_depth"] = min(high["working_depth"], result.piece.outer)
    return Doubt(low, high, {name: swings[name] for name in widest})


def _as_quantities(doubt: Doubt) -> Doubt:
    low, high = (
        {name: with_units(value, UNITS.get(name, "")) for name, value in ends.items()}
        for ends in (doubt.low, doubt.high)
    )
    return Doubt(low, high, with_units(doubt.swings, UNITS["nitrified"]))


def _apart(found: Any, best: Any) -> Any:
    """Return how far results lie from the best guess: logarithms of factors, or differences."""
    factors = np.log(np.maximum(found, LEAST) / np.maximum(best, LEAST))
    return np.where(IS_SHARE, found - best, factors)


def _from(best: Any, apart: Any) -> dict[str, float]:
    """Return the answers that lie so far from the best guess."""
    factor = np.exp(np.where(IS_SHARE, 0.0, apart))
    ends = np.where(IS_SHARE, np.clip(best + apart, 0.0, 1.0), best * factor)
    return dict(zip(ANSWERS, map(float, ends), strict=True))


def _ends(result: WorkingPiece, *, film_known: bool) -> Iterator[tuple[str, list[WorkingPiece]]]:
    """Yield each assumption with the results at its low and at its high end."""
    for name in FILM_ROWS:
        row = row_of(name)
        if name in CERTAIN or row.low == row.high:
            continue
        changed = [
            replace(result.assumed, **{name: row.to_base(end)}) for end in (row.low, row.high)
        ]
        yield (
            name,
            [solved_piece(result.piece, result.water, n, start=result) for n in changed],
        )
    if not film_known:
        row = parameter("biofilm_thickness")
        pieces = [replace(result.piece, film=row.to_base(end)) for end in (row.low, row.high)]
        yield (
            FILM,
            [solved_piece(p, result.water, result.assumed, start=result) for p in pieces],
        )
