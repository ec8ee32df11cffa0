"""What each part of a filter can do, said as grams of food a day: one coin for all of them."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.tank.load import ammonia_production
from aqualib.tank.oxygen_needs import PER_FEED, oxygen_needs
from aqualib.tank.wastes import solids_production
from aqualib.water.nitrogen import oxygen_demand

RATE = Range(0, 1e6, "g/day")
SOME = Range(0.01, 1)
PER_PROTEIN = Range(0.001, 0.16)
LEAST = np.finfo(float).tiny
"""Stands for a need of nought."""


@public(returns="g/day", sources=("TimmonsEbeling2013",))
def feed_for_ammonia(
    removed: Annotated[Amount, RATE],
    protein_fraction: Annotated[Number, SOME],
    ammonia_per_protein: Annotated[Number, PER_PROTEIN] = None,
) -> Any:
    """Return the food whose ammonia a filter takes out, in g/day.

    It is `ammonia_production` read backwards: from the ammonia to the food.

    Equation: F = p / (0.092 p_f), with the ammonia p taken out and the protein fraction p_f.

    Parameters
    ----------
    removed : quantity, 0 to 1e+06 g/day
        Ammonia taken out, or nitrate where that is in question; as nitrogen.
    protein_fraction : plain number, 0.01 to 1
    ammonia_per_protein : plain number, 0.001 to 0.16
        None takes `ammonia_per_protein` of `data/parameters.csv`.

    Returns
    -------
    quantity in g/day of food

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TimmonsEbeling2013 for 0.092, as `ammonia_production`.
    Validity: as `ammonia_production`.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> feed_for_ammonia(Q(0.1656, "g/day"), 0.45).round(3)
    <Quantity(4.0, 'gram / day')>
    """
    return removed / ammonia_production.bare(1.0, protein_fraction, ammonia_per_protein)


@public(returns="g/day", sources=("TimmonsEbeling2013", "EPA1993"))
def feed_for_filter_oxygen(
    oxygen: Annotated[Amount, RATE],
    protein_fraction: Annotated[Number, SOME],
    elsewhere: Annotated[Amount, RATE] = 0.0,
    dirt: Annotated[Number, PER_FEED] = None,
    ammonia_per_protein: Annotated[Number, PER_PROTEIN] = None,
) -> Any:
    """Return the food for which the flow brings the filter enough oxygen, in g/day.

    More media do not help a filter that is short of breath; more flow does.

    Equation: F = (O + 4.569 R) / (4.569 x 0.092 p_f + d), at most O / d, with the ammonia R that
    is nitrified outside the filter, on rock in the tank.

    Parameters
    ----------
    oxygen : quantity, 0 to 1e+06 g/day
        O, as of `oxygen_by_flow`.
    protein_fraction : plain number, 0.01 to 1
    elsewhere : quantity, 0 to 1e+06 g/day
        R, as nitrogen; left out, none.
    dirt : plain number, 0 to 5
        d, as of `oxygen_needs`; None takes `dirt_oxygen_per_feed` of `data/parameters.csv`.
    ammonia_per_protein : plain number, 0.001 to 0.16
        None takes `ammonia_per_protein`.

    Returns
    -------
    quantity in g/day of food

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TimmonsEbeling2013 for 0.092, EPA1993 for 4.57, as `oxygen_needs`.
    Validity: a closed filter that holds all the dirt.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> feed_for_filter_oxygen(Q(43.2, "g/day"), 0.45).round(0)
    <Quantity(149.0, 'gram / day')>
    """
    needs = oxygen_needs.bare(protein_fraction, 0.0, dirt, ammonia_per_protein)
    spared = oxygen_demand.bare(elsewhere)
    shared = (oxygen + spared) / np.maximum(needs.everything, LEAST)
    return np.minimum(shared, oxygen / np.maximum(needs.dirt, LEAST))


@public(returns="g/day", sources=("TimmonsEbeling2013", "EPA1993"))
def feed_for_tank_oxygen(
    oxygen: Annotated[Amount, RATE],
    protein_fraction: Annotated[Number, SOME],
    fish: Annotated[Number, PER_FEED] = None,
    dirt: Annotated[Number, PER_FEED] = None,
    ammonia_per_protein: Annotated[Number, PER_PROTEIN] = None,
) -> Any:
    """Return the food for which the tank's surface takes up enough oxygen, in g/day.

    Fish and filter breathe the same water: the air has to keep both.

    Equation: F = O / (fish + 4.569 x 0.092 p_f + d).

    Parameters
    ----------
    oxygen : quantity, 0 to 1e+06 g/day
        O, as of `oxygen_through_surface`.
    protein_fraction : plain number, 0.01 to 1
    fish : plain number, 0 to 5
        As of `fish_oxygen_per_feed`; None takes `oxygen_per_feed` of `data/parameters.csv`.
    dirt : plain number, 0 to 5
        d, as of `oxygen_needs`; None takes `dirt_oxygen_per_feed`.
    ammonia_per_protein : plain number, 0.001 to 0.16
        None takes `ammonia_per_protein`.

    Returns
    -------
    quantity in g/day of food

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TimmonsEbeling2013 and EPA1993, as `oxygen_needs`.
    Validity: means over a day; after a meal and at night fish need more than this.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> feed_for_tank_oxygen(Q(10, "g/day"), 0.45, fish=0.85).round(2)
    <Quantity(8.78, 'gram / day')>
    """
    needs = oxygen_needs.bare(protein_fraction, fish, dirt, ammonia_per_protein)
    return oxygen / np.maximum(needs.everything, LEAST)


@public(returns="g/day", sources=("TimmonsEbeling2013",))
def feed_for_dirt(
    held: Annotated[Amount, Range(0, 1e6, "g")],
    interval: Annotated[Amount, Range(0.1, 3650, "day")],
    solids_per_feed: Annotated[Number, Range(0.01, 1)] = None,
) -> Any:
    """Return the food whose dirt the pads hold from one cleaning to the next, in g/day.

    Clean twice as often and the same pads carry twice the food.

    Equation: F = H / (0.25 t), with the dry dirt H held and the time t between cleanings.

    Parameters
    ----------
    held : quantity, 0 to 1e+06 g
        Dry dirt that the pads and the settling space hold until they are due for cleaning.
    interval : quantity, 0.1 to 3650 day
    solids_per_feed : plain number, 0.01 to 1
        None takes `solids_per_feed` of `data/parameters.csv`.

    Returns
    -------
    quantity in g/day of food

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: from memory of TimmonsEbeling2013 for 0.25, as `solids_production`.
    Validity: all dirt reaches the filter, and the pads share it well: a pad that fills before
    the others ends the time earlier. Dirt also rots away, which helps and costs oxygen.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> feed_for_dirt(Q(60, "g"), Q(30, "day")).round(2)
    <Quantity(8.0, 'gram / day')>
    """
    return held / interval / solids_production.bare(1.0, solids_per_feed)
