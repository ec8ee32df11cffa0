"""The water outside a piece of medium: what is dissolved in it, and how it reaches the film."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.diffusion import SPECIES, diffusivity
from aqualib.filtration.external_film import BRANCH, bed_film_coefficient, kinematic_viscosity
from aqualib.filtration.piece_layers import Piece
from aqualib.filtration.piece_nature import Nature

STILL = 1e-9
"""Slower than this (m/s) is no flow."""


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


def outer_resistance(piece: Piece, water: Water, nature: Nature) -> Any:
    """Return the resistance of the film of water on the piece, (species), in s/m.

    Flow thins the film (Wilson & Geankoplis); it is never thicker than in still water.
    """
    still = water.diffusivities() / nature.still_water
    if water.velocity < STILL:
        return 1.0 / still
    moving = _coefficients(
        water.velocity, piece.sphere_diameter, nature.bed_voidage, water.temperature, water.salinity
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
