"""Biofilm: how fast do bacteria on a surface work, and how deep does their food reach?"""

from __future__ import annotations

from aqualib.filtration.biofilm.acid_water import acid_share
from aqualib.filtration.biofilm.diffusion import (
    diffusivity,
    effective_diffusivity,
    pore_diffusivity,
)
from aqualib.filtration.biofilm.effectiveness import (
    effectiveness_factor,
    half_order_flux,
    penetration_depth,
    thiele_modulus,
)
from aqualib.filtration.biofilm.external_film import bed_film_coefficient, film_flux, film_thickness
from aqualib.filtration.biofilm.film_law import (
    FilmLimits,
    FilmNumbers,
    ammonia_for_rate,
    film_in_water,
    film_numbers,
    film_uptake,
    first_order_rate,
    share_of_most,
    still_warms,
    with_oxygen,
)
from aqualib.filtration.biofilm.grown_film import areal_rate, film_limits, nitrite_areal_rate
from aqualib.filtration.biofilm.limiting import limiting_ratio, what_limits
from aqualib.filtration.biofilm.salty_water import salt_share, share_after_sudden_salt
from aqualib.filtration.biofilm.zero_order import (
    anoxic_share,
    core_size,
    full_penetration_size,
    zero_order_effectiveness,
)
