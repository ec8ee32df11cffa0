"""How fast a film of bacteria turns ammonia into nitrate, for each square metre of it."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row, parameter
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range
from aqualib.water.oxygen import saturation

AMMONIA_LEVELS = Range(0, 100, "mg/L")
FILM_TEMPERATURES = Range(4, 33, "degC")
FILM_SALINITIES = Range(0, 40)
OXYGEN_LEVELS = Range(0, 50, "mg/L")
FIRST_ORDER = Range(1e-4, 20, "m/day")
MAXIMUM = Range(1e-4, 20, "g/m**2/day")


@public(returns="", sources=("NijhofBovendeur1990",))
def salt_share(
    salinity: Annotated[Number, Range(0, 40)],
    at_sea: Annotated[Number | None, Range(0.05, 1)] = None,
) -> Number:
    """Return the share of its fresh-water rate that a filter used to the salt keeps, 0 to 1.

    A marine filter needs about twice the media of a fresh-water one for the same food.

    Equation: s = 1 - (1 - s_sea) min(S / 35, 1).

    at_sea: The share in sea water; None takes `sea_film_capacity` of `data/parameters.csv`.
    Returns: 1 in fresh water.
    Source: NijhofBovendeur1990 for 0.28 against 0.69 g/m²/day, a share of 0.406, which is 2.46
        times the area; the row used lies between that and 0.63, remembered from another work.
    Validity: bacteria that have lived in this salinity for months.
    Departures: measured at the two ends only; that the fall between them is a straight line is
        assumed.

    >>> round(salt_share(35, at_sea=0.28 / 0.69), 3)
    0.406
    """
    at_sea = or_row(at_sea, "sea_film_capacity")
    return 1.0 - (1.0 - at_sea) * np.minimum(salinity / parameter("sea_salinity").bare, 1.0)


@public(returns="", sources=("KinyageEtAl2019",))
def share_after_sudden_salt(salinity: Annotated[Number, Range(0, 40)]) -> Number:
    """Return the share of its rate that a fresh-water filter keeps when put into salt at once.

    A filter moved from a fresh-water tank to a marine one stops: its bacteria need months to
    give way to others.

    Equation: straight lines between 1 up to salinity 10, 0.01 / 0.22 at 15, and 0 from 25 on.

    Returns: 1 for no loss and 0 for a filter that has stopped.
    Source: KinyageEtAl2019: 0.22 m/day before, 0.01 at 15, nothing at 25 and 35; ammonia fell
        fast at 10 and below.
    Validity: the first hours after the change, in moving beds of a fresh-water farm.
    Departures: the source says that ammonia fell fast up to 10, not that nothing was lost
        there; the straight lines are ours.

    >>> share_after_sudden_salt(35)
    0.0
    """
    return np.interp(salinity, (10.0, 15.0, 25.0), (1.0, 0.01 / 0.22, 0.0))


class FilmRates(NamedTuple):
    """What a film can do in this water: its rate at little ammonia, and its most."""

    first_order: Any
    maximum: Any


@public(
    returns={"first_order": "m/day", "maximum": "g/m**2/day"},
    sources=("KinyageEtAl2019", "NijhofBovendeur1990", "ZhuChen2002"),
)
def film_rates(
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, FILM_SALINITIES] = 0.0,
    oxygen: Annotated[Amount | None, OXYGEN_LEVELS] = None,
    first_order: Annotated[Amount | None, FIRST_ORDER] = None,
    maximum: Annotated[Amount | None, MAXIMUM] = None,
    at_sea: Annotated[Number | None, Range(0.05, 1)] = None,
) -> FilmRates:
    """Return what a film can do in this water: its first-order rate in m/day and its most.

    While ammonia is scarce each square metre cleans so many metres of water a day; when there is
    plenty, oxygen cannot get in any faster and the rate stays where it is.

    Equation: k = k20 1.04275^(t - 20) s and P = P24 1.01108^(t - 24) s √(O / O_sat), with s of
    `salt_share`.

    oxygen: Dissolved, at the media; None is saturated water.
    first_order: k20, fresh water at 20 °C; None takes `ammonia_first_order` of
        `data/parameters.csv`.
    maximum: P24, fresh water at 24 °C; None takes `ammonia_film_capacity`.
    at_sea: As for `salt_share`.
    Returns: maximum (ammonia as nitrogen).
    Source: KinyageEtAl2019 for 0.22 m/day, NijhofBovendeur1990 for 0.69 g/m²/day at 24 °C,
        ZhuChen2002 for 4.275 % and 1.108 % per degree about 20 °C, short of ammonia and of
        oxygen.
    Validity: a grown film that has lived in this water for months, pH near 7.5. Dirt costs
        much: food for other bacteria takes a third to two thirds of the rate.
    Departures: the degree's share is compounded. That k was measured near 20 °C, that salt acts
        on k as it does on P, and that P goes with the root of oxygen (a film deeper than oxygen
        reaches) are assumed.

    >>> film_rates(Q(25, "degC")).first_order.round(3)
    <Quantity(0.271, 'meter / day')>
    """
    first_order = or_row(first_order, "ammonia_first_order")
    maximum = or_row(maximum, "ammonia_film_capacity")
    celsius = temperature - ZERO_CELSIUS
    above = temperature - parameter("film_capacity_temperature").bare
    salt = salt_share.bare(salinity, at_sea)
    if oxygen is not None:
        maximum = maximum * np.sqrt(oxygen / saturation.bare(temperature, salinity))
    return FilmRates(
        first_order * 1.04275 ** (celsius - 20.0) * salt, maximum * 1.01108**above * salt
    )


@public(
    returns="g/m**2/day",
    sources=("KinyageEtAl2019", "NijhofBovendeur1990", "ZhuChen2002"),
)
def areal_rate(
    total_ammonia_nitrogen: Annotated[Amount, AMMONIA_LEVELS],
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, FILM_SALINITIES] = 0.0,
    oxygen: Annotated[Amount | None, OXYGEN_LEVELS] = None,
    first_order: Annotated[Amount | None, FIRST_ORDER] = None,
    maximum: Annotated[Amount | None, MAXIMUM] = None,
    at_sea: Annotated[Number | None, Range(0.05, 1)] = None,
) -> Number:
    """Return the ammonia that a square metre of grown film takes out in a day, in g/m²/day.

    The less ammonia you allow in the tank, the less each square metre does, and the more media
    you need: the water itself is the limit long before the bacteria are.

    Equation: r = k C P / (k C + P), with k and P of `film_rates`.

    total_ammonia_nitrogen: C, at the media, as nitrogen.
    oxygen: Dissolved, at the media; None is saturated water.
    first_order: As for `film_rates`.
    maximum: As for `film_rates`.
    at_sea: As for `salt_share`.
    Returns: As nitrogen.
    Source: KinyageEtAl2019, NijhofBovendeur1990 and ZhuChen2002, as `film_rates`.
    Validity: as `film_rates`. Measured rates lie between 0.004 and 1.1 g/m²/day; a filter of
        yours may do three times more or less.
    Departures: sources give a first-order rate, a half-order bend and a most; one smooth curve
        stands for all three, and lies below the straight lines by half where they meet.

    >>> areal_rate(Q(0.5, "mg/L"), Q(25, "degC")).round(3)
    <Quantity(0.114, 'gram / meter ** 2 / day')>
    """
    film = film_rates.bare(temperature, salinity, oxygen, first_order, maximum, at_sea)
    return joined(film.first_order * total_ammonia_nitrogen, film.maximum)


def joined(scarce: Any, most: Any) -> Any:
    """Return the rate that follows `scarce` while it is small and never exceeds `most`."""
    # Nought over nought is to be nought.
    return scarce * most / np.maximum(scarce + most, np.finfo(float).tiny)
