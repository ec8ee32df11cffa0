"""The balances of a piece in water, set up and solved; also for a tank at rest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.biofilm import bed_film_coefficient, diffusivity
from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.biofilm.external_film import BRANCH, kinematic_viscosity
from aqualib.filtration.porous_piece.film_parameters import FilmParameters
from aqualib.filtration.porous_piece.newton import Problem, Solution, solve, try_newton
from aqualib.filtration.porous_piece.reactions import NITRITE, Film
from aqualib.filtration.porous_piece.shells import Layers, Piece

STILL = 1e-9
"""Slower than this (m/s) is no flow."""
FIRST_NITRITE = 0.2
"""A first guess of the nitrite, as a share of the ammonia in the water."""


@dataclass(frozen=True, slots=True)
class Water:
    """The water outside, in SI base units; nitrogen as N, organic carbon as COD.

    `nitrite` may be None: a tank at rest, whose water holds as much as the piece leaves over, so
    that none passes in or out.
    """

    temperature: float
    salinity: float
    oxygen: float
    ammonium: float
    nitrite: float | None
    nitrate: float
    organic: float
    velocity: float

    def concentrations(self) -> Any:
        """Return what is dissolved, (species); no nitrite if it is not known."""
        nitrite = self.nitrite or 0.0
        return np.array([self.oxygen, self.ammonium, nitrite, self.nitrate, self.organic])

    def diffusivities(self) -> Any:
        """Return the diffusivities in this water, (species), in m²/s."""
        return _diffusivities(self.temperature, self.salinity)


def outer_resistance(piece: Piece, water: Water, assumed: FilmParameters) -> Any:
    """Return the resistance of the film of water on the piece, (species), in s/m.

    Flow thins the film (Wilson & Geankoplis); it is never thicker than in still water.
    """
    still = water.diffusivities() / assumed.still_water
    if water.velocity < STILL:
        return 1.0 / still
    moving = _coefficients(
        water.velocity,
        piece.sphere_diameter,
        assumed.bed_voidage,
        water.temperature,
        water.salinity,
    )
    return 1.0 / np.maximum(moving, still)


@lru_cache(maxsize=256)
def _coefficients(
    velocity: float, diameter: float, voidage: float, temperature: float, salinity: float
) -> Any:
    """Return the mass-transfer coefficients of a bed, (species), in m/s; rising with the flow."""
    bare = _diffusivities(temperature, salinity)
    kinematic = kinematic_viscosity(temperature, salinity)
    # Where the second law takes over it lies a little lower than the first: stay level there.
    before = min(velocity, np.nextafter(BRANCH * kinematic / diameter, 0.0))
    first, second = (
        bed_film_coefficient.bare(flow, diameter, voidage, bare, temperature, salinity)
        for flow in (before, velocity)
    )
    return np.maximum(first, second)


@lru_cache(maxsize=64)
def _diffusivities(temperature: float, salinity: float) -> Any:
    each = np.array([diffusivity.bare(name, temperature, salinity) for name in SPECIES])
    each.flags.writeable = False
    return each


def steady_state(
    piece: Piece, water: Water, assumed: FilmParameters, shells: Layers, start: Any = None
) -> Solution:
    """Return the steady state; `start` may be a guess of the concentrations in the cells."""
    problem = balances(piece, water, assumed, shells)
    if water.nitrite is not None:
        return solve(problem, start)
    if start is None:
        some = _with(problem.outside, FIRST_NITRITE * water.ammonium)
        start = np.broadcast_to(some, problem.diffusivity.shape)
    return _at_rest(problem, start, assumed)


def balances(piece: Piece, water: Water, assumed: FilmParameters, shells: Layers) -> Problem:
    """Return the balances of a piece in water."""
    bare = water.diffusivities()
    return Problem(
        shells.cells,
        shells.diffusivity(piece, assumed, bare),
        water.concentrations(),
        outer_resistance(piece, water, assumed),
        Film.of(assumed, water.temperature, water.salinity, shells.density),
    )


def _at_rest(problem: Problem, guess: Any, assumed: FilmParameters) -> Solution:
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
