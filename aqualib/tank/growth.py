"""The rates of nitrifier growth for one stretch of time, on plain numbers or arrays of sets.

Here time is in days, matter in mg/L of tank water: nitrogen as N, cells as oxygen demand (COD),
alkalinity as CaCO3. Parameter values are in the units of their rows in `data/parameters.csv`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.timeline import Conditions
from aqualib.water.ammonia import ZERO_CELSIUS, unionised_fraction
from aqualib.water.molar_masses import ALKALINITY_PER_MOLE
from aqualib.water.oxygen import saturation
from aqualib.tank.kinetics import nitrous_acid_fraction

NAMES = (
    "ammonia_oxidiser_growth",
    "nitrite_oxidiser_growth",
    "ammonia_oxidiser_decay",
    "nitrite_oxidiser_decay",
    "ammonia_oxidiser_yield",
    "nitrite_oxidiser_yield",
    "ammonia_half_saturation",
    "nitrous_acid_half_saturation",
    "ammonia_oxidiser_oxygen",
    "nitrite_oxidiser_oxygen",
    "ammonia_slows_ammonia_oxidisers",
    "nitrous_acid_slows_ammonia_oxidisers",
    "ammonia_slows_nitrite_oxidisers",
    "nitrous_acid_slows_nitrite_oxidisers",
    "ammonia_oxidiser_warming",
    "nitrite_oxidiser_warming",
    "nitrifier_decay_warming",
    "alkalinity_half_saturation",
    "ammonia_film_capacity",
    "nitrite_film_capacity",
    "sea_film_capacity",
    "sea_nitrite_pace",
    "nitrifier_attachment",
    "nitrifier_detachment",
    "suspended_loss",
    "seed_strength",
)
