"""The rates of nitrifier growth for one stretch of time, on plain numbers or arrays of sets.

Here time is in days, matter in mg/L of tank water: nitrogen as N, cells as oxygen demand (COD),
alkalinity as CaCO3. Parameter values are in the units of their rows in `data/parameters.csv`.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from aqualib.parameters import parameter
from aqualib.tank.maturation.kinetics import nitrous_acid_fraction
from aqualib.tank.maturation.stretches import Conditions
from aqualib.units import ZERO_CELSIUS
from aqualib.water.ammonia import unionised_fraction
from aqualib.water.oxygen import saturation

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

OTHERS = (
    "film_capacity_temperature",
    "sea_salinity",
    "nitrogen_in_nitrifiers",
    "oxygen_of_saturation",
    "nitrite_reference_ph",
)
REFERENCE_CELSIUS = 20.0
"""The temperature of the growth and decay rows (HiattGrady2008 and the others)."""


class TankWater(NamedTuple):
    """What of a scenario the rates depend on and that stays the same throughout."""

    salinity: float
    ph: float
    ph_scale: str
    alkalinity: float
    """At the start; `ph` belongs to it."""
    oxygen: float | None
    area_per_litre: float
    """Media, m² per litre of tank."""
    kept: bool
    """True if alkalinity is topped up all the time."""
    nitrite_form: str
    """"ion" or "acid": what nitrite oxidisers are taken to feed on."""


class Growth(NamedTuple):
    """The coefficients of one stretch; index A for ammonia, N for nitrite oxidisers."""

    growth_a: Any
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
    ion_share: float
    """If not 0, the nitrous-acid share at the reference pH, used for feeding at any pH."""


@lru_cache(maxsize=1)
def best_values() -> dict[str, float]:
    """Return the value of each row that the model uses, in the row's unit."""
    return {name: parameter(name).value for name in (*NAMES, *OTHERS)}


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


@lru_cache(maxsize=16)
def ion_share(reference_ph: float) -> float:
    """Return the nitrous-acid share of nitrite at the reference pH and 20 degC."""
    kelvin = REFERENCE_CELSIUS + ZERO_CELSIUS
    return float(nitrous_acid_fraction.bare(reference_ph, kelvin))


@lru_cache(maxsize=256)
def saturated(celsius: float, salinity: float) -> float:
    """Return the oxygen in water in balance with air, in mg/L."""
    return float(saturation.bare(celsius + ZERO_CELSIUS, salinity)) * 1000.0


def growth(values: Mapping[str, Any], water: TankWater, now: Conditions) -> Growth:
    """Return the coefficients for parameter `values`: floats, or arrays with one entry a set."""
    v = values
    warmer = now.celsius - REFERENCE_CELSIUS
    sea = min(water.salinity / v["sea_salinity"], 1.0)
    pace = v["sea_nitrite_pace"] ** sea
    oxygen = water.oxygen
    if oxygen is None:
        oxygen = v["oxygen_of_saturation"] * saturated(now.celsius, water.salinity)
    running = 1.0 if now.running else 0.0
    breath_a = running * oxygen / (v["ammonia_oxidiser_oxygen"] + oxygen)
    breath_n = running * oxygen / (v["nitrite_oxidiser_oxygen"] + oxygen)
    decay_warmth = v["nitrifier_decay_warming"] ** warmer
    full_a, full_n = full_film(v, water)
    ammonia_shape, acid_shape = shapes(water, now.celsius)
    return Growth(
        growth_a=v["ammonia_oxidiser_growth"] * v["ammonia_oxidiser_warming"] ** warmer * breath_a,
        growth_n=v["nitrite_oxidiser_growth"]
        * v["nitrite_oxidiser_warming"] ** warmer
        * breath_n
        * pace,
        decay_a=v["ammonia_oxidiser_decay"] * decay_warmth,
        decay_n=v["nitrite_oxidiser_decay"] * decay_warmth * pace,
        loss=v["suspended_loss"] + now.kill_rate,
        per_yield_a=1.0 / v["ammonia_oxidiser_yield"],
        per_yield_n=1.0 / v["nitrite_oxidiser_yield"],
        cells_nitrogen=v["nitrogen_in_nitrifiers"],
        half_a=v["ammonia_half_saturation"],
        half_n=v["nitrous_acid_half_saturation"],
        ammonia_on_a=1.0 / v["ammonia_slows_ammonia_oxidisers"],
        acid_on_a=1.0 / v["nitrous_acid_slows_ammonia_oxidisers"],
        ammonia_on_n=1.0 / v["ammonia_slows_nitrite_oxidisers"],
        acid_on_n=1.0 / v["nitrous_acid_slows_nitrite_oxidisers"],
        half_alkalinity=v["alkalinity_half_saturation"],
        full_a=full_a,
        full_n=full_n,
        attach=v["nitrifier_attachment"],
        detach=v["nitrifier_detachment"],
        available=now.available,
        ammonia_shape=ammonia_shape,
        acid_shape=acid_shape,
        ion_share=ion_share(v["nitrite_reference_ph"]) if water.nitrite_form == "ion" else 0.0,
    )


def full_film(values: Mapping[str, Any], water: TankWater) -> tuple[Any, Any]:
    """Return the ammonia and nitrite oxidisers that the media hold, in mg COD per litre of tank.

    They are as many as oxidise the areal capacity when they grow as fast as they can at the
    temperature of that capacity.
    """
    v = values
    warmer = v["film_capacity_temperature"] - REFERENCE_CELSIUS
    sea = min(water.salinity / v["sea_salinity"], 1.0)
    # g/m² a day times m² per litre, in mg per litre a day.
    working = 1000.0 * water.area_per_litre * (1.0 - (1.0 - v["sea_film_capacity"]) * sea)
    rate_a = v["ammonia_oxidiser_growth"] * v["ammonia_oxidiser_warming"] ** warmer
    rate_n = v["nitrite_oxidiser_growth"] * v["nitrite_oxidiser_warming"] ** warmer
    return (
        working * v["ammonia_film_capacity"] * v["ammonia_oxidiser_yield"] / rate_a,
        working * v["nitrite_film_capacity"] * v["nitrite_oxidiser_yield"] / rate_n,
    )


def limits(g: Growth, ammonia: Any, nitrite: Any, alkalinity: Any) -> tuple[Any, Any]:
    """Return the shares (0 to 1) of full growth left to ammonia and to nitrite oxidisers."""
    base = alkalinity / (g.half_alkalinity + alkalinity)
    free = g.available * ammonia * alkalinity / (alkalinity + g.ammonia_shape)
    acid = nitrite / (1.0 + g.acid_shape * alkalinity)
    food = g.ion_share * nitrite if g.ion_share else acid
    room_a = (g.half_a + free + free * free * g.ammonia_on_a) * (1.0 + acid * g.acid_on_a)
    room_n = (g.half_n + food + food * acid * g.acid_on_n) * (1.0 + free * g.ammonia_on_n)
    return base * free / room_a, base * food / room_n
