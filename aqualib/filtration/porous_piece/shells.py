"""A piece of porous medium and its coat of biofilm, cut into thin shells."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.biofilm.zero_order import DIMENSIONS
from aqualib.filtration.porous_piece.film_parameters import FilmParameters, pore_film_share
from aqualib.filtration.porous_piece.newton import Cells, cells
from aqualib.filtration.porous_piece.reactions import ORGANIC

FILM_CELLS, PORE_CELLS = 26, 44
SOLID = 1e-6
FINEST = 50e-6
"""Depth in m over which cells inside the piece stay about as thin as at its edge."""
CROWDING = 0.7
"""How much thinner cells are at both faces of the film than in its middle."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece and the film on it, in SI base units.

    `size` is the whole thickness of a slab, the whole width of a cylinder or sphere, without the
    film. A piece without pores has the porosity 0.
    """

    shape: str
    size: float
    porosity: float
    pore_diameter: float
    film: float

    @property
    def solid(self) -> bool:
        """True if there are no pores worth the name."""
        return self.porosity < SOLID

    @property
    def dimensions(self) -> int:
        """1 for a slab, 2 for a cylinder, 3 for a sphere."""
        return DIMENSIONS[self.shape]

    @property
    def radius(self) -> float:
        """From the middle to the edge of the piece, without the film."""
        return self.size / 2.0

    @property
    def outer(self) -> float:
        """From the middle to the water."""
        return self.radius + self.film

    @property
    def volume_per_area(self) -> float:
        """The piece's own volume over the film's outer surface, in m."""
        growth = (self.radius / self.outer) ** (self.dimensions - 1)
        return self.radius / self.dimensions * growth

    @property
    def sphere_diameter(self) -> float:
        """The diameter of the sphere with as much surface for its volume, film included."""
        return 6.0 * self.outer / self.dimensions


@dataclass(frozen=True, slots=True)
class Layers:
    """A piece cut into cells: which lie in the film, and how densely bacteria live in each."""

    cells: Cells
    in_film: Any
    density: Any

    def diffusivity(self, piece: Piece, assumed: FilmParameters, bare: Any) -> Any:
        """Return the diffusivity of each species in each cell from those in water, in m²/s."""
        share = np.full(len(SPECIES), assumed.film_share)
        share[ORGANIC] = assumed.film_organic_share
        in_film_share = _film_share(piece, assumed)
        # The way through a pore is part film, part water, and winds.
        pore = (1.0 - in_film_share * (1.0 - share)) * piece.porosity / assumed.tortuosity
        return bare * np.where(self.in_film[:, None], share, pore)


def layers(piece: Piece, assumed: FilmParameters, fineness: float = 1.0) -> Layers:
    """Return the cells of a piece; twice the `fineness` halves each of them."""
    shells = shells_of(piece.dimensions, piece.radius, piece.film, fineness, solid=piece.solid)
    in_film = shells.nodes > piece.radius
    density = np.where(in_film, 1.0, piece.porosity * _film_share(piece, assumed))
    return Layers(shells, in_film, density)


@lru_cache(maxsize=64)
def shells_of(
    dimensions: int, radius: float, film: float, fineness: float, *, solid: bool
) -> Cells:
    """Return the cells of a piece of this radius under a film; none inside if it is solid."""
    along = np.linspace(0.0, 1.0, round(fineness * FILM_CELLS) + 1)
    crowded = along - CROWDING * np.sin(2.0 * np.pi * along) / (2.0 * np.pi)
    coat = radius + film * crowded
    if solid:
        return cells(coat, dimensions)
    along = np.linspace(1.0, 0.0, round(fineness * PORE_CELLS) + 1)
    depth = FINEST * np.sinh(along * np.arcsinh(radius / FINEST))
    inside = radius - depth
    inside[0], inside[-1] = 0.0, radius
    return cells(np.concatenate([inside, coat[1:]]), dimensions)


def _film_share(piece: Piece, assumed: FilmParameters) -> float:
    """Return the share of the room in the pores that is biofilm."""
    share = pore_film_share.bare(piece.pore_diameter, assumed.pore_film, assumed.smallest_pore)
    return float(share)
