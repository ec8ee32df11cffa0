"""What bacteria do with five dissolved things in a film: how fast, and what each reaction uses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from aqualib.filtration.biofilm import salt_share
from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.porous_piece.film_parameters import FilmParameters
from aqualib.water.nitrogen import (
    ammonia_step_oxygen,
    denitrification_carbon_demand,
    nitrite_step_oxygen,
)

# The order of the species; nitrogen as N, organic carbon as the oxygen it could use (COD).
OXYGEN, AMMONIUM, NITRITE, NITRATE, ORGANIC = range(len(SPECIES))
REACTIONS = ("ammonia oxidation", "nitrite oxidation", "organic oxidation", "denitrification")
AMMONIA_STEP, NITRITE_STEP, ORGANIC_STEP, DENITRIFICATION = range(4)

# The Monod factors: which species each looks at.
FACTORS = (OXYGEN, OXYGEN, OXYGEN, AMMONIUM, NITRITE, NITRATE, ORGANIC)
AIR_AMMONIA, AIR_NITRITE, AIR_ORGANIC = range(3)
FED_AMMONIA, FED_NITRITE, FED_NITRATE, FED_ORGANIC = range(3, 7)
FOOD = (FED_AMMONIA, FED_NITRITE, FED_ORGANIC)
"""What feeds the three reactions that need oxygen."""


def stoichiometry(assumed: FilmParameters) -> Any:
    """Return the mass made (used, if negative) per unit of each reaction, (reactions, species).

    Reactions are counted as nitrogen; the oxidation of organic carbon is counted as COD.
    """
    organic = denitrification_carbon_demand.bare(1.0, assumed.denitrifier_yield)
    made = np.zeros((len(REACTIONS), len(SPECIES)))
    made[AMMONIA_STEP, [OXYGEN, AMMONIUM, NITRITE]] = (
        -ammonia_step_oxygen.bare(1.0, True),
        -1.0,
        1.0,
    )
    made[NITRITE_STEP, [OXYGEN, NITRITE, NITRATE]] = -nitrite_step_oxygen.bare(1.0, True), -1.0, 1.0
    # The share of the food that becomes cells is not burnt.
    made[ORGANIC_STEP, [OXYGEN, ORGANIC]] = assumed.heterotroph_yield - 1.0, -1.0
    made[DENITRIFICATION, [NITRATE, ORGANIC]] = -1.0, -organic
    return made


def fastest_rates(assumed: FilmParameters, temperature: float, salinity: float) -> Any:
    """Return the rate of each reaction in a film with plenty of everything, in kg/m³/s.

    Warmth and salt act on nitrifiers as they do in `biofilm.film_limits`; warmth speeds the others
    by a factor of their own.
    """
    warmer = temperature - assumed.reference_temperature
    ammonia = assumed.ammonia_rate * assumed.warming**warmer
    organic = assumed.organic_rate * assumed.organic_warming**warmer
    salty = salt_share.bare(salinity, assumed.sea_share)
    carbon = denitrification_carbon_demand.bare(1.0, assumed.denitrifier_yield)
    nitrogen = assumed.anoxic_pace * organic / carbon
    nitrite = assumed.nitrite_over_ammonia * ammonia
    return np.array([salty * ammonia, salty * nitrite, organic, nitrogen])


@dataclass(slots=True)
class Film:
    """The four reactions in cells where bacteria are this dense, as a share of a full film."""

    fastest: Any
    half: Any
    density: Any
    stoichiometry: Any

    @classmethod
    def of(cls, assumed: FilmParameters, temperature: float, salinity: float, density: Any) -> Film:
        """Return the reactions of such bacteria, at a temperature and a salinity."""
        half = np.array(
            [
                assumed.ammonia_oxygen,
                assumed.nitrite_oxygen,
                assumed.organic_oxygen,
                assumed.ammonia_half,
                assumed.nitrite_half,
                assumed.nitrate_half,
                assumed.organic_half,
            ]
        )
        fastest = fastest_rates(assumed, temperature, salinity)
        return cls(fastest, half, density, stoichiometry(assumed))

    def factors(self, concentrations: Any) -> tuple[Any, Any]:
        """Return the Monod factors S / (K + S) and their slopes, (cells, factors)."""
        amounts = concentrations[:, FACTORS]
        share = 1.0 / (self.half + amounts)
        return amounts * share, self.half * share * share

    def rates(self, concentrations: Any) -> tuple[Any, Any]:
        """Return the rates (cells, reactions) and their slopes (cells, species, reactions)."""
        f, g = self.factors(concentrations)
        most = self.density[:, None] * self.fastest
        without = 1.0 - f[:, AIR_ORGANIC]
        fed = f[:, FED_NITRATE] * f[:, FED_ORGANIC]
        rates = np.empty((len(f), len(REACTIONS)))
        rates[:, :3] = f[:, :3] * f[:, FOOD]
        rates[:, DENITRIFICATION] = fed * without
        slopes = np.zeros((len(f), len(SPECIES), len(REACTIONS)))
        slopes[:, OXYGEN, :3] = g[:, :3] * f[:, FOOD]
        slopes[:, OXYGEN, DENITRIFICATION] = -fed * g[:, AIR_ORGANIC]
        slopes[:, AMMONIUM, AMMONIA_STEP] = g[:, FED_AMMONIA] * f[:, AIR_AMMONIA]
        slopes[:, NITRITE, NITRITE_STEP] = g[:, FED_NITRITE] * f[:, AIR_NITRITE]
        slopes[:, ORGANIC, ORGANIC_STEP] = g[:, FED_ORGANIC] * f[:, AIR_ORGANIC]
        slopes[:, ORGANIC, DENITRIFICATION] = g[:, FED_ORGANIC] * f[:, FED_NITRATE] * without
        slopes[:, NITRATE, DENITRIFICATION] = g[:, FED_NITRATE] * f[:, FED_ORGANIC] * without
        rates *= most
        slopes *= most[:, None, :]
        return rates, slopes
