"""Reading off a solved piece: how much it does and how deep, what limits it, has it a core."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.porous_piece.balance import Water
from aqualib.filtration.porous_piece.film_parameters import FilmParameters
from aqualib.filtration.porous_piece.newton import Solution
from aqualib.filtration.porous_piece.reactions import (
    AIR_AMMONIA,
    AMMONIA_STEP,
    AMMONIUM,
    DENITRIFICATION,
    FED_AMMONIA,
    FED_NITRATE,
    FED_ORGANIC,
    NITRITE,
    OXYGEN,
    Film,
)
from aqualib.filtration.porous_piece.shells import Layers, Piece
from aqualib.validity import OneOf, ValidityError

WORKING = 0.95
"""The working depth holds this share of all nitrification."""
FAINT = 0.05
"""Bacteria at less than this share of their best pace are called idle."""
SATURATED = 0.25
"""If neither oxygen nor ammonia has a gain above this, there are too few bacteria for both."""


@dataclass(frozen=True, slots=True)
class WorkingPiece:
    """What happens in a piece of medium; in SI base units, or as quantities.

    Profiles run from the middle outward. Fluxes are per area of the film's outer surface,
    positive into the piece. Volumetric rates are per volume of the piece without its film.
    """

    piece: Piece
    water: Water
    assumed: FilmParameters
    depth: Any
    """How far each place lies below the surface of the film; the surface itself is the last."""
    concentrations: Any
    """Oxygen, ammonium, nitrite, nitrate, organic carbon at each place, (places, species)."""
    outside: Any
    """The same in the water outside, (species)."""
    fluxes: Any
    """What enters the piece, (species)."""
    nitrified: Any
    """Ammonia oxidised, per area."""
    nitrified_per_volume: Any
    denitrified: Any
    working_depth: Any
    """95 % of the ammonia oxidation takes place within this depth."""
    busy_depth: Any
    """Below this depth ammonia oxidisers work at less than 5 % of what the water would let them."""
    anoxic_depth: Any
    """Below this depth there is no oxygen to speak of; the middle, if there is none such."""
    fed_depth: Any
    """Below this depth denitrifiers get less than 5 % of the food and nitrate they could use."""
    effectiveness: float
    """Ammonia oxidised over what it would be if the water reached every place."""
    anoxic_share: float
    """Share of the volume of piece and film without oxygen to speak of."""
    oxygen_gain: float
    """Per cent more ammonia oxidised for one per cent more oxygen in the water."""
    ammonia_gain: float
    """Per cent more ammonia oxidised for one per cent more ammonia in the water."""
    steps: int

    @property
    def limited_by(self) -> str:
        """What would help most: "oxygen", "ammonia", or "bacteria" if neither would help much."""
        if max(self.oxygen_gain, self.ammonia_gain) < SATURATED:
            return "bacteria"
        return "oxygen" if self.oxygen_gain > self.ammonia_gain else "ammonia"

    @property
    def has_core(self) -> bool:
        """True if there is a core without oxygen."""
        return self.anoxic_share > 0.0

    def of(self, species: str) -> tuple[Any, Any]:
        """Return the profile and the flux of "oxygen", "ammonium", "nitrite", "nitrate"..."""
        if species not in SPECIES:
            raise ValidityError("species", repr(species), OneOf(SPECIES).text, "", "is not one")
        at = SPECIES.index(species)
        return self.concentrations[:, at], self.fluxes[at]


def read_off(
    piece: Piece, water: Water, assumed: FilmParameters, shells: Layers, found: Solution
) -> WorkingPiece:
    """Read off the answers from the concentrations."""
    film: Any = found.problem.reaction
    now, turnover = found.concentrations, found.turnover()
    surface, outside = found.surface(), found.problem.outside
    if np.isinf(found.problem.resistance[NITRITE]):
        # Nothing passes, so the water holds what stands at the surface.
        outside = np.where(np.arange(len(SPECIES)) == NITRITE, surface, outside)
    nitrified = float(turnover[AMMONIA_STEP])
    # From the middle to the surface of the film itself.
    inside = np.vstack([now, surface])
    depth = np.append(piece.outer - shells.cells.nodes, 0.0)
    pace = _ammonia_pace(film, inside) / _ammonia_pace(film, outside[None, :])
    best = film.fastest[AMMONIA_STEP] * _ammonia_pace(film, outside[None, :])[0]
    with_oxygen = _depth_down_to(depth, inside[:, OXYGEN], assumed.anoxic_oxygen, shells)
    oxygen_gain, ammonia_gain = _gains(found, nitrified)
    return WorkingPiece(
        piece=piece,
        water=water,
        assumed=assumed,
        depth=depth,
        concentrations=inside,
        outside=outside,
        fluxes=found.flux(),
        nitrified=nitrified,
        nitrified_per_volume=nitrified / piece.volume_per_area,
        denitrified=float(turnover[DENITRIFICATION]),
        working_depth=_working_depth(shells, found.rates[:, AMMONIA_STEP]),
        busy_depth=_depth_down_to(depth, pace, FAINT, shells),
        anoxic_depth=with_oxygen,
        fed_depth=_depth_down_to(depth, _denitrifiers_fed(film, inside), FAINT, shells),
        effectiveness=nitrified / float(best * shells.cells.volumes @ shells.density),
        anoxic_share=shells.cells.share_below(with_oxygen),
        oxygen_gain=oxygen_gain,
        ammonia_gain=ammonia_gain,
        steps=found.steps,
    )


def _ammonia_pace(film: Film, concentrations: Any) -> Any:
    """Return at which share of their best pace ammonia oxidisers work."""
    factors, _ = film.factors(concentrations)
    return factors[:, AIR_AMMONIA] * factors[:, FED_AMMONIA]


def _denitrifiers_fed(film: Film, concentrations: Any) -> Any:
    """Return at which share of their best pace denitrifiers would work without oxygen."""
    factors, _ = film.factors(concentrations)
    return factors[:, FED_NITRATE] * factors[:, FED_ORGANIC]


def _depth_down_to(depth: Any, values: Any, least: float, shells: Layers) -> float:
    """Return how deep a value is at least so much; depths fall to 0 at the surface."""
    enough = np.flatnonzero(values >= least)
    if not enough.size:
        return 0.0
    deepest = int(enough[0])
    if not deepest:
        return shells.cells.depth
    between = slice(deepest - 1, deepest + 1)
    return float(np.interp(least, values[between], depth[between]))


def _working_depth(shells: Layers, rates: Any) -> float:
    """Return the depth that holds the working share of a reaction."""
    cells = shells.cells
    inward = np.cumsum((cells.volumes * rates)[::-1])
    faces = cells.faces[-1] - cells.faces[::-1]
    return float(np.interp(WORKING * inward[-1], np.append(0.0, inward), faces))


def _gains(found: Solution, nitrified: float) -> tuple[float, float]:
    """Return the gain in ammonia oxidation from more oxygen and from more ammonia outside."""
    problem = found.problem
    slopes = problem.reaction.rates(found.concentrations)[1][:, :, AMMONIA_STEP]
    weights = problem.cells.volumes[:, None] * slopes
    reach = problem.conductances[-1] * problem.outside
    gains = []
    for species in (OXYGEN, AMMONIUM):
        push = np.zeros_like(found.concentrations)
        push[-1, species] = reach[species]
        gains.append(float(np.sum(weights * found.change(push))) / nitrified)
    return gains[0], gains[1]
