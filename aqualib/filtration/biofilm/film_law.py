"""One film, one law: how much ammonia and nitrite a square metre of bacteria takes out of water.

Food reaches the bacteria through still water and slime, then they eat it. Both steps carry the same
amount, which sets the rate. Everything in the project that needs a rate of a film takes it from
here, or solves the same film in depth (`filtration.porous_piece`).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.filtration.biofilm.salty_water import salt_share
from aqualib.parameters import or_row, parameter
from aqualib.units import GRAMS_PER_DAY, ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.nitrogen import ammonia_step_oxygen, nitrite_step_oxygen
from aqualib.water.oxygen import saturation

LEVELS = Range(0, 100, "mg/L")
SOME = Range(1e-6, 1000, "mg/L")
TRANSFERS = Range(1e-4, 100, "m/day")
MOSTS = Range(0, 100, "g/m**2/day")
CAPACITIES = Range(1e-4, 20, "g/m**2/day")
TRANSFER_TEMPERATURE = ZERO_CELSIUS + 20.0
"""The temperature of `film_transfer`."""

FILM_LAW_ROWS = {
    "transfer": "film_transfer",
    "transfer_warming": "film_transfer_warming",
    "capacity": "ammonia_film_capacity",
    "nitrite_over_ammonia": "nitrite_over_ammonia",
    "warming": "film_warming",
    "at_sea": "sea_film_capacity",
    "ammonia_half": "total_ammonia_half_saturation",
    "nitrite_half": "nitrite_half_saturation",
    "ammonia_oxygen": "ammonia_oxidiser_oxygen",
    "nitrite_oxygen": "nitrite_oxidiser_oxygen",
}
"""Field of `FilmNumbers` -> row of `data/parameters.csv`."""


class FilmNumbers(NamedTuple):
    """What is assumed of a film, in SI base units: floats, or arrays with one entry a set."""

    transfer: Any
    transfer_warming: Any
    capacity: Any
    nitrite_over_ammonia: Any
    warming: Any
    at_sea: Any
    ammonia_half: Any
    nitrite_half: Any
    ammonia_oxygen: Any
    nitrite_oxygen: Any


class FilmInWater(NamedTuple):
    """A full film at one temperature and salinity, before oxygen and food are asked for; SI."""

    transfer: Any
    ammonia_top: Any
    """What ammonia oxidisers of a full film do with plenty of everything, oxygen too."""
    nitrite_top: Any
    oxygen_need: Any
    """Oxygen that both use then."""
    ammonia_oxygen: Any
    nitrite_oxygen: Any


class FilmLimits(NamedTuple):
    """What a film can do in this water: how fast food gets in, and the most it then does."""

    transfer: Any
    ammonia_most: Any
    nitrite_most: Any


@lru_cache(maxsize=1)
def film_rows() -> FilmNumbers:
    """Return what the rows say."""
    return FilmNumbers(**{field: parameter(row).bare for field, row in FILM_LAW_ROWS.items()})


def film_numbers(rows: Mapping[str, Any]) -> FilmNumbers:
    """Return the numbers from a table of rows, each in the unit of its row."""
    return FilmNumbers(**{f: parameter(row).to_base(rows[row]) for f, row in FILM_LAW_ROWS.items()})


def share_of_most(outside: Any, half: Any, most_over_transfer: Any) -> Any:
    """Return the share of its most that a film does whose food must get through first.

    It is S / (half + S), with S what is left at the bacteria: outside - most_over_transfer share.
    """
    reach = outside + half + most_over_transfer
    # This form of the root loses no digits where a film is thin.
    return 2.0 * outside / (reach + np.sqrt(reach * reach - 4.0 * outside * most_over_transfer))


def still_warms(temperature: Any) -> Any:
    """Return the temperature (K) that counts for nitrifiers: beyond a line more warmth is no gain.

    Nothing that works slower in the cold is taken to work faster than was measured.
    """
    return np.minimum(temperature, parameter("film_warmest").bare)


def film_in_water(film: FilmNumbers, temperature: Any, salinity: Any, acid: Any) -> FilmInWater:
    """Return a full film in water of this temperature (K) and salinity.

    `acid` is the share of its work that sour water leaves, of `acid_share`.
    The capacity was measured in fresh water full of air: what the bacteria could do with oxygen in
    plenty is more by what they lacked of it there.
    """
    measured_at = parameter("film_capacity_temperature").bare
    warmer = still_warms(temperature) - measured_at
    salty = salt_share.bare(salinity, film.at_sea)
    both = ammonia_step_oxygen.bare(1.0, True)
    both = both + nitrite_step_oxygen.bare(1.0, True) * film.nitrite_over_ammonia
    measured_in = saturation.bare(parameter("film_capacity_temperature").bare)
    left = measured_in - both * film.capacity / _transfer(
        film, parameter("film_capacity_temperature").bare
    )
    # A film whose oxygen cannot get in fast enough for its capacity is one that was not measured.
    left = np.maximum(left, 0.1 * measured_in)
    faster = film.capacity * salty * acid * film.warming**warmer
    ammonia = faster * (film.ammonia_oxygen + left) / left
    nitrite = faster * film.nitrite_over_ammonia * (film.nitrite_oxygen + left) / left
    return FilmInWater(
        _transfer(film, temperature),
        ammonia,
        nitrite,
        # Both breathe the same oxygen; that of the second step is counted as that of the first.
        both * ammonia,
        film.ammonia_oxygen,
        film.nitrite_oxygen,
    )


def with_oxygen(full: FilmInWater, share: Any, oxygen: Any) -> FilmLimits:
    """Return what a film does at most with this oxygen (kg/m³) in the water."""
    needed = share * full.oxygen_need / full.transfer
    ammonia = share_of_most(oxygen, full.ammonia_oxygen, needed)
    left = full.ammonia_oxygen * ammonia / (1.0 - ammonia)
    nitrite = left / (full.nitrite_oxygen + left)
    return FilmLimits(
        full.transfer, share * full.ammonia_top * ammonia, share * full.nitrite_top * nitrite
    )


def _transfer(film: FilmNumbers, temperature: Any) -> Any:
    warmer = still_warms(temperature) - TRANSFER_TEMPERATURE
    return film.transfer * film.transfer_warming**warmer


@public(returns="g/m**2/day", sources=("NijhofBovendeur1990",))
def film_uptake(
    concentration: Annotated[Amount, LEVELS],
    transfer: Annotated[Amount, TRANSFERS],
    most: Annotated[Amount, MOSTS],
    half_saturation: Annotated[Amount, SOME],
) -> Number:
    """Return what a film takes out of water, in g/m² a day, from its way in and its most.

    A film is slowed by the way in, then by the mouths inside: with little food the way in counts,
    with much the mouths.

    Equation: r = ½ k_L (B - √(B² - 4 C m)), with m = P / k_L and B = C + K + m; it is where
    k_L (C - C_s) = P C_s / (K + C_s).

    concentration: C, in the water.
    transfer: k_L, how many metres of water a day could hand over all they hold.
    most: P, what the bacteria do with food in plenty.
    half_saturation: K, what must reach them for half of that.
    Source: NijhofBovendeur1990 found a film's rate to bend in this manner (abstract read); the
        equation is algebra.
    Validity: a thin film whose bacteria all see the same water; one food that is short.

    >>> film = Q(0.92, "m/day"), Q(0.69, "g/m**2/day"), Q(0.5, "mg/L")
    >>> film_uptake(Q(0.5, "mg/L"), *film).round(3)
    <Quantity(0.23, 'gram / meter ** 2 / day')>
    """
    return most * share_of_most(concentration, half_saturation, most / transfer)


@public(returns="m/day", sources=("KinyageEtAl2019",))
def first_order_rate(
    transfer: Annotated[Amount, TRANSFERS],
    most: Annotated[Amount, CAPACITIES],
    half_saturation: Annotated[Amount | None, SOME] = None,
) -> Number:
    """Return how many metres of water a film cleans in a day while ammonia is scarce, in m/day.

    Two hindrances one after the other: the way in and the mouths add up as resistances do.

    Equation: 1 / k = 1 / k_L + K / P.

    transfer: k_L of `film_limits`.
    most: P of `film_limits`.
    half_saturation: K; None takes `total_ammonia_half_saturation`.
    Source: the slope of `film_uptake` at nought; KinyageEtAl2019 measured 0.22 m/day on a farm.
    Validity: well below K; the rate per milligram falls from there on.

    >>> first_order_rate(Q(0.92, "m/day"), Q(0.69, "g/m**2/day")).round(2)
    <Quantity(0.55, 'meter / day')>
    """
    half = or_row(half_saturation, "total_ammonia_half_saturation")
    return 1.0 / (1.0 / transfer + half / most)


def _check_most(rate: Any, most: Any, **_: Any) -> None:
    """Raise where no ammonia makes the film do so much."""
    if np.any(np.asarray(rate) >= np.asarray(most)):
        shown = f"{GRAMS_PER_DAY * float(np.max(rate)):g} g/m²/day"
        valid = f"less than most = {GRAMS_PER_DAY * float(np.min(most)):g} g/m²/day"
        raise ValidityError("rate", shown, valid, "", "is more than the film can ever do")


@public(returns="mg/L", sources=(), together=_check_most)
def ammonia_for_rate(
    rate: Annotated[Amount, MOSTS],
    transfer: Annotated[Amount, TRANSFERS],
    most: Annotated[Amount, MOSTS],
    half_saturation: Annotated[Amount | None, SOME] = None,
) -> Number:
    """Return the ammonia at which a film does so much, in mg/L as nitrogen.

    It is what a tank keeps once its filter has caught up with the food.

    Equation: C = r / k_L + K r / (P - r).

    rate: r, asked of each square metre.
    transfer: k_L of `film_limits`.
    most: P of `film_limits`.
    half_saturation: K; None takes `total_ammonia_half_saturation`.
    Returns: As nitrogen.
    Raises: the film can never do so much.
    Source: `film_uptake` turned round.
    Validity: as `film_uptake`.

    >>> film = Q(0.92, "m/day"), Q(0.69, "g/m**2/day")
    >>> ammonia_for_rate(Q(0.225, "g/m**2/day"), *film).round(2)
    <Quantity(0.49, 'milligram / liter')>
    """
    half = or_row(half_saturation, "total_ammonia_half_saturation")
    return rate / transfer + half * rate / (most - rate)
