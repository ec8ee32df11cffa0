"""Steady diffusion with reaction through layers: conservative cells, solved by Newton's method.

Every cell holds a balance: what diffuses in, less what diffuses out, plus what reactions make, is
nothing. The balances of all dissolved things in all cells are solved together.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, Protocol

import numpy as np
from scipy.linalg import lapack

SOLVED = 1e-9
"""A step below this share of the concentrations outside is the last one; it is nearly squared."""
NEWTON_STEPS = 25
DAMPED_STEPS = 400
SHRINK = 0.01
"""No concentration falls below this share of itself in one step, so none turns negative."""
LEAST_SCALE = 1e-3
"""What is scarce is solved to this share of what is plentiful, at the least."""
TINY = 1e-30


class ConvergenceError(ArithmeticError):
    """The balances could not be solved; there is no answer, rather than a wrong one."""


class Reaction(Protocol):
    """What happens in the cells: several reactions between several dissolved things."""

    stoichiometry: Any
    """Mass made (used, if negative) per unit of each reaction, (reactions, species)."""

    def rates(self, concentrations: Any) -> tuple[Any, Any]:
        """Return the rates (cells, reactions) and their slopes (cells, species, reactions)."""


@dataclass(frozen=True, slots=True)
class Cells:
    """Shells from the centre outward, all per unit of the outermost area; lengths in m."""

    dimensions: int
    faces: Any
    nodes: Any
    areas: Any
    volumes: Any

    @property
    def count(self) -> int:
        """How many cells there are."""
        return len(self.nodes)

    @property
    def depth(self) -> float:
        """From the outermost face to the innermost, in m."""
        return float(self.faces[-1] - self.faces[0])

    def share_below(self, depth: float) -> float:
        """Return the share of the volume that lies below a depth."""
        inner, at, outer = (
            float(place) ** self.dimensions
            for place in (self.faces[0], max(self.faces[-1] - depth, self.faces[0]), self.faces[-1])
        )
        return (at - inner) / (outer - inner)


def cells(faces: Any, dimensions: int) -> Cells:
    """Return cells between these faces, at rising distances from the centre.

    `dimensions` is 1 for a slab, 2 for a cylinder, 3 for a sphere.
    """
    outer = faces[-1] ** (dimensions - 1)
    volumes = np.diff(faces**dimensions) / (dimensions * outer)
    middles = (faces[1:] + faces[:-1]) / 2.0
    return Cells(dimensions, faces, middles, faces ** (dimensions - 1) / outer, volumes)


@dataclass(frozen=True)
class Problem:
    """The balances: cells, diffusivities (cells, species), and the water outside (species).

    `resistance` is that of the film of water outside, in s/m: one over its mass-transfer
    coefficient. It is 0 without such a film, and infinite for what does not pass.
    """

    cells: Cells
    diffusivity: Any
    outside: Any
    resistance: Any
    reaction: Reaction

    @cached_property
    def half_resistance(self) -> Any:
        """How hard it is to get half across each cell, (cells, species), in s/m."""
        return np.diff(self.cells.faces)[:, None] / (2.0 * self.diffusivity)

    @cached_property
    def conductances(self) -> Any:
        """How well things pass each face but the innermost, (cells, species), in m/s."""
        half = self.half_resistance
        across = np.empty_like(half)
        across[:-1] = self.cells.areas[1:-1, None] / (half[:-1] + half[1:])
        across[-1] = 1.0 / (half[-1] + self.resistance)
        return across


@dataclass(slots=True)
class Solution:
    """Concentrations (cells, species), rates (cells, reactions), and the solved Jacobian."""

    problem: Problem
    concentrations: Any
    rates: Any
    factors: Any
    pivots: Any
    steps: int

    def turnover(self) -> Any:
        """Return how much of each reaction takes place, per outer area, (reactions)."""
        return self.problem.cells.volumes @ self.rates

    def flux(self) -> Any:
        """Return what enters from the water outside per area, (species)."""
        last = self.problem.conductances[-1]
        return last * (self.problem.outside - self.concentrations[-1])

    def surface(self) -> Any:
        """Return the concentrations at the outermost face, (species)."""
        return self.concentrations[-1] + self.flux() * self.problem.half_resistance[-1]

    def change(self, push: Any) -> Any:
        """Return how concentrations answer a small push to the balances, (cells, species)."""
        species = self.concentrations.shape[1]
        answer, _ = lapack.dgbtrs(self.factors, species, species, -push.ravel(), self.pivots)
        return answer.reshape(push.shape)


def solve(problem: Problem, start: Any = None) -> Solution:
    """Return the steady state; raise `ConvergenceError` if none is found.

    `start` is a guess of the concentrations; the answer does not depend on it.
    """
    found = try_newton(problem, start) or _iterate(problem, start, DAMPED_STEPS, damped=True)
    if found is None:
        message = "the concentrations inside could not be found for these inputs"
        raise ConvergenceError(message)
    return found


def try_newton(problem: Problem, start: Any = None) -> Solution | None:
    """Return the steady state if Newton's method alone finds it soon, else None."""
    return _iterate(problem, start, NEWTON_STEPS, damped=False)


def _iterate(problem: Problem, start: Any, most: int, *, damped: bool) -> Solution | None:
    """Return the steady state by Newton's method; damped, by ever longer steps in time."""
    across = problem.conductances
    now = np.broadcast_to(problem.outside if start is None else start, across.shape)
    species = across.shape[1]
    volumes, reaction = problem.cells.volumes[:, None], problem.reaction
    bands, inside = _diffusion(across), _places(species)
    storage = 1.0
    for step in range(1, most + 1):
        rates, slopes = reaction.rates(now)
        residual = volumes * (rates @ reaction.stoichiometry) + _exchange(problem, across, now)
        matrix = bands.copy()
        blocks = matrix.reshape(problem.cells.count, species, -1)
        blocks[:, inside[0], inside[1]] += volumes[:, :, None] * (slopes @ reaction.stoichiometry)
        if damped:
            # Storage in each cell slows the first steps; the slower, the better the balance.
            blocks[:, range(species), 2 * species] -= storage * across.max(axis=0)
        factors, pivots, move, fault = lapack.dgbsv(
            species, species, matrix.T, -residual.ravel(), overwrite_ab=True
        )
        if fault or not np.all(np.isfinite(move)):
            return None
        move = move.reshape(now.shape)
        size = _size(move, np.maximum(now.max(axis=0), problem.outside))
        if size < SOLVED and (not damped or storage < SOLVED):
            now = np.maximum(now + move, 0.0)
            return Solution(problem, now, reaction.rates(now)[0], factors, pivots, step)
        now = np.maximum(now + move, SHRINK * now)
        storage *= 0.5 if size < 1.0 else 1.0
    return None


def _size(move: Any, amounts: Any) -> float:
    """Return the largest move as a share of the amounts there are, (species)."""
    scale = np.maximum(amounts, LEAST_SCALE * amounts.max() + TINY)
    return float(np.max(np.abs(move).max(axis=0) / scale))


def _exchange(problem: Problem, across: Any, now: Any) -> Any:
    """Return what each cell gains from its neighbours and the water outside."""
    beyond = np.concatenate([now[1:], problem.outside[None, :]])
    inward = across * (beyond - now)
    inward[1:] -= inward[:-1].copy()
    return inward


def _diffusion(across: Any) -> Any:
    """Return the bands of the diffusion matrix, (unknowns, bands), transposed as LAPACK's."""
    count, species = across.shape
    bands = np.zeros((count * species, 3 * species + 1))
    blocks = bands.reshape(count, species, -1)
    blocks[:, :, 2 * species] = -across
    blocks[1:, :, 2 * species] -= across[:-1]
    blocks[1:, :, species] = across[:-1]
    blocks[:-1, :, 3 * species] = across[:-1]
    return bands


@lru_cache(maxsize=16)
def _places(species: int) -> tuple[Any, Any]:
    """Return where the slopes of a cell's reactions stand among its columns and bands."""
    column, row = np.meshgrid(np.arange(species), np.arange(species), indexing="ij")
    return column, 2 * species + row - column
