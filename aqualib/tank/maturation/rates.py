"""The rates of nitrifier growth for one stretch of time, on plain numbers or arrays of sets.

Here time is in days, matter in mg/L of tank water: nitrogen as N, cells as oxygen demand (COD),
alkalinity as CaCO3. Parameter values are in the units of their rows in `data/parameters.csv`.
The film on the media is that of `filtration.biofilm`: what grows here is how much of it there is.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from aqualib.filtration.biofilm import (
    acid_share,
    film_in_water,
    film_numbers,
    share_of_most,
    still_warms,
)
from aqualib.filtration.biofilm.film_law import FILM_LAW_ROWS, FilmInWater
from aqualib.parameters import parameter
from aqualib.tank.maturation.kinetics import nitrous_acid_fraction
from aqualib.tank.maturation.stretches import Conditions
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS
from aqualib.water.ammonia import unionised_fraction
from aqualib.water.nitrogen import ammonia_step_oxygen, nitrite_step_oxygen
from aqualib.water.oxygen import saturation

NAMES = (
    "ammonia_oxidiser_growth",
    "nitrite_oxidiser_growth",
    "ammonia_oxidiser_decay",
    "nitrite_oxidiser_decay",
    "ammonia_oxidiser_yield",
    "nitrite_oxidiser_yield",
    "total_ammonia_half_saturation",
    "nitrite_half_saturation",
    "ammonia_oxidiser_oxygen",
    "nitrite_oxidiser_oxygen",
    "ammonia_slows_ammonia_oxidisers",
    "nitrous_acid_slows_ammonia_oxidisers",
    "ammonia_slows_nitrite_oxidisers",
    "nitrous_acid_slows_nitrite_oxidisers",
    "ammonia_oxidiser_warming",
    "nitrite_oxidiser_warming",
    "nitrifier_decay_warming",
    "decay_without_oxygen",
    "alkalinity_half_saturation",
    "ammonia_film_capacity",
    "nitrite_over_ammonia",
    "film_transfer",
    "film_warming",
    "nitrifying_share",
    "sea_film_capacity",
    "sea_nitrite_pace",
    "nitrifier_attachment",
    "nitrifier_detachment",
    "suspended_loss",
    "food_to_ammonia_delay",
    "seed_strength",
)

OTHERS = (
    "film_transfer_warming",
    "sea_salinity",
    "nitrogen_in_nitrifiers",
    "oxygen_of_saturation",
    "film_alkalinity",
)
SOUR = ("film_acid_loss",)
"""Drawn after `NAMES`, so that those are drawn as they were; no log of a keeper tells of it."""
REFERENCE_CELSIUS = 20.0
"""The temperature of the growth and decay rows (HiattGrady2008 and the others)."""
SOUREST_PH = 5.5
"""Below it, what slows bacteria in sour water is as at this pH: no constant was measured there.

A film that had months to settle worked at pH 4.3 as at the best (TarreGreen2004); ours stops
sooner, where no alkalinity is left.
"""
LEAST_PACE = 1e-3
"""Share of its work that a film keeps in the sourest water: none would leave nothing to divide."""
PER_LITRE = 1e6 * SECONDS_PER_DAY
"""mg/day in a kg/s."""
CROWDING = 8
"""Power of the fullness that finds no room: a film grows freely until it is nearly full."""
FULLEST = 2.0
"""A film fuller than the media hold, as after a sudden warming, dies no faster than this."""
OXYGEN_A = ammonia_step_oxygen.bare(1.0)
OXYGEN_N = nitrite_step_oxygen.bare(1.0)
"""Without growth: what is built into cells is counted by itself."""


class TankWater(NamedTuple):
    """What of a scenario the rates depend on and that stays the same throughout."""

    salinity: float
    ph: float
    ph_scale: str
    alkalinity: float
    """At the start; `ph` belongs to it."""
    oxygen: float | None
    exchange: float | None
    """How fast the air closes the gap to saturation, per day; None holds `oxygen`."""
    breathing: float
    """Oxygen that animals and other bacteria use, mg/L a day; counts with `exchange` only."""
    area_per_litre: float
    """Media, m² per litre of tank."""
    kept: bool
    """True if alkalinity is topped up all the time."""


class Growth(NamedTuple):
    """The coefficients of one stretch; index A for ammonia, N for nitrite oxidisers."""

    growth_a: Any
    """With plenty of everything, oxygen too."""
    growth_n: Any
    decay_a: Any
    decay_n: Any
    loss: Any
    """Of suspended cells, beside decay: eaten, caught, and killed by the lamp."""
    per_yield_a: Any
    per_yield_n: Any
    cells_nitrogen: Any
    half_a: Any
    half_n: Any
    ammonia_on_a: Any
    """Reciprocals of the inhibition constants: what slows whom."""
    acid_on_a: Any
    ammonia_on_n: Any
    acid_on_n: Any
    half_alkalinity: Any
    base: Any
    """Brings the limit of alkalinity to one at the alkalinity of the film's capacity."""
    oxygen: Any
    """In the water; where the air's exchange is given, what there would be without nitrifiers."""
    oxygen_half_a: Any
    oxygen_half_n: Any
    breath_a: Any
    """Oxygen per cells grown."""
    breath_n: Any
    air: Any
    """How fast oxygen gets to the film, per day: through slime, and from the air if it counts."""
    transfer: Any
    """How fast ammonia and nitrite get to the film, per day."""
    full_a: Any
    """Cells that the media hold, mg COD per litre of tank."""
    full_n: Any
    attach: Any
    detach: Any
    available: Any
    """Share of the ammonia that nitrifiers can use."""
    ammonia_shape: Any
    """Un-ionised share = alkalinity / (alkalinity + ammonia_shape)."""
    acid_shape: Any
    """Nitrous-acid share = 1 / (1 + acid_shape x alkalinity)."""
    sourest: Any
    """Alkalinity below which both shares stay as they are there."""
    rotting: Any
    """Rate at which food on its way becomes ammonia, per day."""


@lru_cache(maxsize=1)
def best_values() -> dict[str, float]:
    """Return the value of each row that the model uses, in the row's unit."""
    return {name: parameter(name).value for name in (*NAMES, *OTHERS, *SOUR)}


@lru_cache(maxsize=256)
def shapes(water: TankWater, celsius: float) -> tuple[float, float]:
    """Return how the un-ionised and the nitrous-acid share follow alkalinity.

    With the carbon dioxide of the water unchanged, the acid is inversely proportional to the
    alkalinity: pH = pH0 + log10(alkalinity / alkalinity0).
    """
    kelvin = celsius + ZERO_CELSIUS
    share = float(unionised_fraction.bare(water.ph, kelvin, water.salinity, water.ph_scale))
    acid = float(nitrous_acid_fraction.bare(water.ph, kelvin))
    return water.alkalinity * (1.0 - share) / share, (1.0 / acid - 1.0) / water.alkalinity


@lru_cache(maxsize=256)
def saturated(celsius: float, salinity: float) -> float:
    """Return the oxygen in water in balance with air, in mg/L."""
    return float(saturation.bare(celsius + ZERO_CELSIUS, salinity)) * 1000.0


def growth(values: Mapping[str, Any], water: TankWater, now: Conditions) -> Growth:
    """Return the coefficients for parameter `values`: floats, or arrays with one entry a set."""
    v = values
    warmer = now.celsius - REFERENCE_CELSIUS
    pace = v["sea_nitrite_pace"] ** min(water.salinity / v["sea_salinity"], 1.0)
    counts = float(still_warms(now.celsius + ZERO_CELSIUS)) - ZERO_CELSIUS - REFERENCE_CELSIUS
    # Sour water slows growth and the grown film alike; alkalinity, which runs out, counts as well.
    acid = np.maximum(acid_share.bare(water.ph, v["film_acid_loss"]), LEAST_PACE)
    growth_a = v["ammonia_oxidiser_growth"] * v["ammonia_oxidiser_warming"] ** counts * acid
    growth_n = v["nitrite_oxidiser_growth"] * v["nitrite_oxidiser_warming"] ** counts * pace * acid
    # Without flow no food and no oxygen come, and the bacteria die more slowly.
    dying = v["nitrifier_decay_warming"] ** warmer
    dying = dying if now.running else dying * v["decay_without_oxygen"]
    film = _film(v, water, now.celsius, acid)
    per_yield_a = 1.0 / v["ammonia_oxidiser_yield"]
    per_yield_n = 1.0 / v["nitrite_oxidiser_yield"]
    transfer = film.transfer * SECONDS_PER_DAY * 1000.0 * water.area_per_litre
    oxygen, air = _oxygen(v, water, now, transfer)
    share = v["nitrifying_share"] * water.area_per_litre * PER_LITRE
    ammonia_shape, acid_shape = shapes(water, now.celsius)
    # The second step's oxygen as the first step's gets it, which is how the film was measured.
    as_first = v["nitrite_over_ammonia"] * film.ammonia_top / film.nitrite_top
    reference = v["film_alkalinity"]
    return Growth(
        growth_a=growth_a,
        growth_n=growth_n,
        decay_a=v["ammonia_oxidiser_decay"] * dying,
        decay_n=v["nitrite_oxidiser_decay"] * dying * pace,
        loss=v["suspended_loss"] + now.kill_rate,
        per_yield_a=per_yield_a,
        per_yield_n=per_yield_n,
        cells_nitrogen=v["nitrogen_in_nitrifiers"],
        half_a=v["total_ammonia_half_saturation"],
        half_n=v["nitrite_half_saturation"],
        ammonia_on_a=1.0 / v["ammonia_slows_ammonia_oxidisers"],
        acid_on_a=1.0 / v["nitrous_acid_slows_ammonia_oxidisers"],
        ammonia_on_n=1.0 / v["ammonia_slows_nitrite_oxidisers"],
        acid_on_n=1.0 / v["nitrous_acid_slows_nitrite_oxidisers"],
        half_alkalinity=v["alkalinity_half_saturation"],
        base=(v["alkalinity_half_saturation"] + reference) / reference,
        oxygen=oxygen,
        oxygen_half_a=v["ammonia_oxidiser_oxygen"],
        oxygen_half_n=v["nitrite_oxidiser_oxygen"],
        breath_a=ammonia_step_oxygen.bare(1.0, True) * per_yield_a,
        breath_n=nitrite_step_oxygen.bare(1.0, True) * per_yield_n * as_first,
        air=air,
        transfer=transfer,
        full_a=share * film.ammonia_top / (per_yield_a * growth_a),
        full_n=share * film.nitrite_top / (per_yield_n * growth_n),
        attach=v["nitrifier_attachment"],
        detach=v["nitrifier_detachment"],
        available=now.available,
        ammonia_shape=ammonia_shape,
        acid_shape=acid_shape,
        sourest=water.alkalinity * 10.0 ** (SOUREST_PH - water.ph),
        rotting=1.0 / v["food_to_ammonia_delay"],
    )


def _film(values: Mapping[str, Any], water: TankWater, celsius: float, acid: Any) -> FilmInWater:
    """Return a clean, full film in this water, in SI base units."""
    numbers = film_numbers({row: values[row] for row in FILM_LAW_ROWS.values()})
    return film_in_water(numbers, celsius + ZERO_CELSIUS, water.salinity, acid)


def _oxygen(
    values: Mapping[str, Any], water: TankWater, now: Conditions, transfer: Any
) -> tuple[Any, Any]:
    """Return the oxygen in mg/L and how fast it gets from there to the film, per day."""
    if not now.running:
        return 0.0, transfer
    full = saturated(now.celsius, water.salinity)
    if water.exchange is None:
        given = values["oxygen_of_saturation"] * full if water.oxygen is None else water.oxygen
        return given, transfer
    # Air to water, water to film: two hindrances one after the other.
    left = max(full - water.breathing / water.exchange, 0.0)
    return left, 1.0 / (1.0 / transfer + 1.0 / water.exchange)


class Paces(NamedTuple):
    """How fast the four populations grow, per day, before the film's lack of room."""

    film_a: Any
    water_a: Any
    film_n: Any
    water_n: Any


def paces(
    g: Growth,
    ammonia: Any,
    nitrite: Any,
    alkalinity: Any,
    film_a: Any,
    film_n: Any,
    made: Any = None,
) -> Paces:
    """Return how fast each population grows at these levels, with so many cells in the film.

    `made` is the nitrite that the film makes itself (mg/L a day), if it is not to be what its
    ammonia oxidisers make now.
    """
    able_a, able_n = unhindered(g, ammonia, nitrite, alkalinity)
    need = (g.breath_a * able_a * film_a + g.breath_n * able_n * film_n) / g.air
    got_a = share_of_most(g.oxygen, g.oxygen_half_a, need)
    left = g.oxygen_half_a * got_a / (1.0 - got_a)
    got_n = left / (g.oxygen_half_n + left)
    food = g.available * ammonia
    behind_a = g.per_yield_a * able_a * got_a * film_a / g.transfer
    pace_a = able_a * got_a * share_of_most(food, g.half_a, behind_a)
    inside = (g.per_yield_a * pace_a * film_a if made is None else made) / g.transfer
    behind_n = g.per_yield_n * able_n * got_n * film_n / g.transfer
    pace_n = able_n * got_n * share_of_most(nitrite + inside, g.half_n, behind_n)
    free_a = able_a * g.oxygen / (g.oxygen_half_a + g.oxygen) * food / (g.half_a + food)
    free_n = able_n * g.oxygen / (g.oxygen_half_n + g.oxygen) * nitrite / (g.half_n + nitrite)
    return Paces(pace_a, free_a, pace_n, free_n)


def unhindered(g: Growth, ammonia: Any, nitrite: Any, alkalinity: Any) -> tuple[Any, Any]:
    """Return how fast both groups could grow with plenty of food and oxygen in this water.

    Alkalinity is needed by the first step only, which makes the acid.
    """
    kept = np.maximum(alkalinity, g.sourest)
    free = g.available * ammonia * kept / (kept + g.ammonia_shape)
    acid = nitrite / (1.0 + g.acid_shape * kept)
    base = g.base * alkalinity / (g.half_alkalinity + alkalinity)
    able_a = g.growth_a * base / ((1.0 + free * g.ammonia_on_a) * (1.0 + acid * g.acid_on_a))
    able_n = g.growth_n / ((1.0 + acid * g.acid_on_n) * (1.0 + free * g.ammonia_on_n))
    return able_a, able_n
