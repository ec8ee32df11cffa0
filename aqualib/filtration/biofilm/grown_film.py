"""A grown film in a keeper's water: how much ammonia and nitrite each square metre takes out."""

from __future__ import annotations

from typing import Annotated, Any

from aqualib.edge import public
from aqualib.filtration.biofilm.acid_water import ACID_LOSSES, FILM_PH, acid_share
from aqualib.filtration.biofilm.film_law import (
    CAPACITIES,
    LEVELS,
    MOSTS,
    SOME,
    TRANSFERS,
    FilmLimits,
    FilmNumbers,
    film_in_water,
    film_rows,
    film_uptake,
    with_oxygen,
)
from aqualib.filtration.biofilm.salty_water import AT_SEA, SALT
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.oxygen import saturation

FILM_TEMPERATURES = Range(4, 34, "degC")
OXYGEN_LEVELS = Range(0, 50, "mg/L")
SHARES = Range(0, 1)


@public(
    returns={
        "transfer": "m/day",
        "ammonia_most": "g/m**2/day",
        "nitrite_most": "g/m**2/day",
    },
    sources=("NijhofBovendeur1990", "KinyageEtAl2019", "ZhuChen2002", "VillaverdeEtAl1997"),
)
def film_limits(
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, SALT] = 0.0,
    oxygen: Annotated[Amount | None, OXYGEN_LEVELS] = None,
    share: Annotated[Number | None, SHARES] = None,
    transfer: Annotated[Amount | None, TRANSFERS] = None,
    capacity: Annotated[Amount | None, CAPACITIES] = None,
    at_sea: Annotated[Number | None, AT_SEA] = None,
    ph: Annotated[Number | None, FILM_PH] = None,
    acid_loss: Annotated[Number | None, ACID_LOSSES] = None,
) -> FilmLimits:
    """Return what a film can do in this water: how fast food gets in, and the most it then does.

    Cold, salt, sour water, too little oxygen and dirt each take their part of the bacteria's most;
    the way in hardly cares.

    Equation: k_L = k20 1.02^(t - 20); P = x P* f(O), with P* chosen so that a clean film (x = 1)
    in fresh water of 24 °C full of air does P24, times 1.07^(t - 24), `salt_share` and
    `acid_share`; f is the share of `film_uptake` with oxygen for food. Above 30 °C, t in both
    powers is 30.

    oxygen: Dissolved, at the media; None is saturated water.
    share: x, of the film that nitrifies; None takes `nitrifying_share` of `data/parameters.csv`,
        a working filter with its dirt. 1 is clean.
    transfer: k20; None takes `film_transfer`.
    capacity: P24; None takes `ammonia_film_capacity`.
    at_sea: As for `salt_share`.
    ph: None is no sour water.
    acid_loss: As for `acid_share`.
    Returns: ammonia_most and nitrite_most (as nitrogen).
    Source: NijhofBovendeur1990 for 0.69 g/m²/day, KinyageEtAl2019 for the ratio of nitrite to
        ammonia, ZhuChen2002 for warmth (which chose 1.07), VillaverdeEtAl1997 for sour water; the
        way in is judgement.
    Validity: a film that has lived in this water for months, alkalinity in plenty; below pH 6.5
        and above 30 °C little was measured, and no gain is taken from it.
    Departures: oxygen, ammonia and nitrite are taken to get in equally fast; their diffusivities
        differ by up to a seventh.

    >>> film_limits(Q(24, "degC"), share=1).ammonia_most.round(3)
    <Quantity(0.69, 'gram / meter ** 2 / day')>
    """
    film = _changed(transfer, capacity, at_sea)
    acid = 1.0 if ph is None else acid_share.bare(ph, acid_loss)
    full = film_in_water(film, temperature, salinity, acid)
    air = saturation.bare(temperature, salinity) if oxygen is None else oxygen
    return with_oxygen(full, or_row(share, "nitrifying_share"), air)


@public(
    returns="g/m**2/day",
    sources=("NijhofBovendeur1990", "KinyageEtAl2019", "SinEtAl2008", "ZhuChen2002"),
)
def areal_rate(
    total_ammonia_nitrogen: Annotated[Amount, LEVELS],
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, SALT] = 0.0,
    oxygen: Annotated[Amount | None, OXYGEN_LEVELS] = None,
    share: Annotated[Number | None, SHARES] = None,
    transfer: Annotated[Amount | None, TRANSFERS] = None,
    capacity: Annotated[Amount | None, CAPACITIES] = None,
    at_sea: Annotated[Number | None, AT_SEA] = None,
    half_saturation: Annotated[Amount | None, SOME] = None,
) -> Number:
    """Return the ammonia that a square metre of grown film takes out in a day, in g/m²/day.

    The less ammonia you allow in the tank, the less each square metre does, and the more media
    you need.

    Equation: r = ½ k_L (B - √(B² - 4 C P / k_L)), with B = C + K + P / k_L; k_L and P of
    `film_limits`.

    total_ammonia_nitrogen: C, at the media, as nitrogen.
    oxygen: Dissolved, at the media; None is saturated water.
    share: As for `film_limits`.
    transfer: As for `film_limits`.
    capacity: As for `film_limits`.
    at_sea: As for `salt_share`.
    half_saturation: K; None takes `total_ammonia_half_saturation`.
    Returns: As nitrogen.
    Source: NijhofBovendeur1990, KinyageEtAl2019 and ZhuChen2002, as `film_limits`; SinEtAl2008 for
        K (code citing it read).
    Validity: as `film_limits`. Measured rates lie between 0.004 and 1.1 g/m²/day; a filter of
        yours may do three times more or less.
    Departures: one work found a straight line up to 2.5 mg/L; here the bend comes sooner.

    >>> areal_rate(Q(0.5, "mg/L"), Q(25, "degC")).round(3)
    <Quantity(0.129, 'gram / meter ** 2 / day')>
    """
    film = film_limits.bare(temperature, salinity, oxygen, share, transfer, capacity, at_sea)
    half = or_row(half_saturation, "total_ammonia_half_saturation")
    return film_uptake.bare(total_ammonia_nitrogen, film.transfer, film.ammonia_most, half)


@public(
    returns="g/m**2/day",
    sources=("NijhofBovendeur1990", "KinyageEtAl2019", "UshikiEtAl2017", "ZhuChen2002"),
)
def nitrite_areal_rate(
    nitrite_nitrogen: Annotated[Amount, LEVELS],
    made: Annotated[Amount, MOSTS],
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, SALT] = 0.0,
    oxygen: Annotated[Amount | None, OXYGEN_LEVELS] = None,
    share: Annotated[Number | None, SHARES] = None,
    half_saturation: Annotated[Amount | None, SOME] = None,
) -> Number:
    """Return the nitrite that a square metre of grown film takes out in a day, in g/m²/day.

    Nitrite is made next door to those that eat it: what the film makes itself need not come in
    through the slime. That is why a ripe tank shows none.

    Equation: as `film_uptake`, with C + r_A / k_L for C, where r_A is what the film makes.

    nitrite_nitrogen: C, in the water, as nitrogen.
    made: r_A, by the ammonia oxidisers of the same film, of `areal_rate`.
    oxygen: Dissolved, at the media; None is saturated water.
    share: As for `film_limits`.
    half_saturation: K; None takes `nitrite_half_saturation`.
    Returns: As nitrogen.
    Source: NijhofBovendeur1990, KinyageEtAl2019 and ZhuChen2002, as `film_limits`;
        UshikiEtAl2017 for K (abstract read).
    Validity: as `film_limits`.

    >>> nitrite_areal_rate(Q(0.05, "mg/L"), Q(0.1, "g/m**2/day"), Q(25, "degC")).round(3)
    <Quantity(0.097, 'gram / meter ** 2 / day')>
    """
    film = film_limits.bare(temperature, salinity, oxygen, share)
    half = or_row(half_saturation, "nitrite_half_saturation")
    reaching = nitrite_nitrogen + made / film.transfer
    return film_uptake.bare(reaching, film.transfer, film.nitrite_most, half)


def _changed(transfer: Any, capacity: Any, at_sea: Any) -> FilmNumbers:
    given = {"transfer": transfer, "capacity": capacity, "at_sea": at_sea}
    return film_rows()._replace(**{k: v for k, v in given.items() if v is not None})
