"""The balances of a piece in water, set up and solved; also for a tank at rest."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from aqualib.filtration.boundary_value import Problem, Solution, solve, try_newton
from aqualib.filtration.piece_layers import Layers, Piece
from aqualib.filtration.piece_nature import Nature
from aqualib.filtration.piece_water import Water, outer_resistance
from aqualib.filtration.reactions import NITRITE, Film

FIRST_NITRITE = 0.2
"""A first guess of the nitrite, as a share of the ammonia in the water."""


def settle(
    piece: Piece, water: Water, assumed: Nature, shells: Layers, start: Any = None
) -> Solution:
    """Return the steady state; `start` may be a guess of the concentrations in the cells."""
    problem = balances(piece, water, assumed, shells)
    if water.nitrite is not None:
        return solve(problem, start)
    if start is None:
        some = _with(problem.outside, FIRST_NITRITE * water.ammonium)
        start = np.broadcast_to(some, problem.diffusivity.shape)
    return _at_rest(problem, start, assumed)


def balances(piece: Piece, water: Water, assumed: Nature, shells: Layers) -> Problem:
    """Return the balances of a piece in water."""
    bare = water.diffusivities()
    return Problem(
        shells.cells,
        shells.diffusivity(piece, assumed, bare),
        water.concentrations(),
        outer_resistance(piece, water, assumed),
        Film.of(assumed, water.temperature, water.salinity, shells.density),
    )


def _at_rest(problem: Problem, guess: Any, assumed: Nature) -> Solution:
    """Return the state in which no nitrite passes in or out, the water's being what it must be.

    Where a piece makes more nitrite than it can use, the water is taken to hold `most_nitrite`.
    """
    closed = replace(problem, resistance=_with(problem.resistance, np.inf))
    found = try_newton(closed, guess)
    if found is not None and found.surface()[NITRITE] <= assumed.most_nitrite:
        return found
    open_to = replace(problem, outside=_with(problem.outside, assumed.most_nitrite))
    found = solve(open_to, guess)
    if found.flux()[NITRITE] <= 0.0:
        return found
    return solve(closed, found.concentrations)


def _with(values: Any, nitrite: float) -> Any:
    """Return values of all species with another one for nitrite."""
    return np.where(np.arange(len(values)) == NITRITE, nitrite, values)
