"""Tanks whose course is known in closed form, for each of the two solvers."""

from __future__ import annotations

import numpy as np

from aqualib.tank.maturation.course import Food, StretchProblem
from aqualib.tank.maturation.rates import Growth

# Nothing slows, nothing moves between film and water, and there is no end of room.
IDLE = Growth(
    growth_a=0.8,
    growth_n=0.6,
    decay_a=0.05,
    decay_n=0.04,
    loss=0.0,
    per_yield_a=4.0,
    per_yield_n=16.0,
    cells_nitrogen=0.0,
    half_a=1.0,
    half_n=1.0,
    ammonia_on_a=0.0,
    acid_on_a=0.0,
    ammonia_on_n=0.0,
    acid_on_n=0.0,
    half_alkalinity=0.0,
    base=1.0,
    oxygen=1e9,
    oxygen_half_a=1.0,
    oxygen_half_n=1.0,
    breath_a=0.0,
    breath_n=0.0,
    air=1e12,
    transfer=1e15,
    full_a=1e12,
    full_n=1e12,
    attach=0.0,
    detach=0.0,
    available=1.0,
    ammonia_shape=0.0,
    acid_shape=0.0,
    sourest=1e-9,
    rotting=1e9,
)


def problem(load=0.0, extra=0.0, **changes):
    """Food that is ammonia at once, unless some is on its way."""
    growth = IDLE._replace(**changes)
    return StretchProblem(growth, Food(load, extra, growth.rotting), 100.0, 0.0, 0.0)


def start(ammonia, nitrite, a, n):
    """Cells in film only; a millionth of them in the water."""
    return [ammonia, nitrite, a, 1e-6 * a, n, 1e-6 * n]


def chemostat(solve, columns=1):
    """Cells that may only live in the water, from which a tenth is washed out each day."""
    washed = problem(load=1.0, loss=0.1)
    # So little film that it comes to nothing before the end.
    first = [1.0, 0.0, 1e-40, 0.1, 1e-40, 0.1]
    if columns > 1:
        first = [np.full(columns, value) for value in first]
    return solve(washed, first, np.array([0.0, 200.0, 400.0]))


def chain(solve, k1, k2, ammonia, times, columns=1):
    """So many cells, and so hungry, that both steps are of first order and no cell is added."""
    cells, half = 1e6, 1e6
    first_order = problem(
        growth_a=k1 * half / (4.0 * cells),
        growth_n=k2 * half / (16.0 * cells),
        half_a=half,
        half_n=half,
        decay_a=0.0,
        decay_n=0.0,
    )
    first = start(ammonia, 0.0, cells, cells)
    if columns > 1:
        first = [np.full(columns, value) for value in first]
    return solve(first_order, first, times)
