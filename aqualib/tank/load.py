"""What the food does to the water: its nitrogen, how fast ammonia rises, a whole stock's wastes."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row, parameter
from aqualib.tank.ammonia_rise import ammonia_rise, time_to_reach
from aqualib.tank.phosphorus import PhosphorusLoad, phosphorus_production
from aqualib.tank.stock import (
    BODY,
    STOCK,
    WARMTH,
    OxygenRoads,
    daily_feed,
    fasting_oxygen,
    oxygen_roads,
)
from aqualib.tank.stocking import Stocking, stocking
from aqualib.tank.wastes import carbon_dioxide_production, solids_production
from aqualib.validity import ValidityError

__all__ = [
    "NitrogenBudget",
    "OxygenRoads",
    "PhosphorusLoad",
    "StockWastes",
    "Stocking",
    "ammonia_production",
    "ammonia_rise",
    "daily_feed",
    "fasting_oxygen",
    "feed_nitrogen",
    "nitrogen_budget",
    "oxygen_roads",
    "phosphorus_production",
    "stock_wastes",
    "stocking",
    "time_to_reach",
]

FEED = Range(0, 1e6, "g/day")
SHARE = Range(0, 1)


@public(returns="g/day", sources=("TimmonsEbeling2013",))
def ammonia_production(
    feed: Annotated[Amount, FEED],
    protein_fraction: Annotated[Number, SHARE],
    ammonia_per_protein: Annotated[Number, Range(0, 0.16)] = None,
) -> Any:
    """Return the total ammonia that a day's food becomes, in g/day as nitrogen.

    Food, not the number of fish or litres, sets the load: 10 g of a 45 % protein food gives
    about 0.4 g of ammonia nitrogen.

    Equation: P = 0.092 F p, with feed F and protein fraction p.

    Parameters
    ----------
    feed : quantity, 0 to 1e+06 g/day
    protein_fraction : plain number, 0 to 1
        The label's crude protein; 45 % is 0.45.
    ammonia_per_protein : plain number, 0 to 0.16
        None takes `ammonia_per_protein` of `data/parameters.csv`.

    Returns
    -------
    quantity in g/day, as nitrogen

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TimmonsEbeling2013 for 0.092, read in a secondary text that cites the book.
    Validity: a design value for fed fish in recirculating tanks. Seabream in
    one study gave off about 30 % of the nitrogen they ate as ammonia; 0.092 is 57.5 %.
    Departures: none. The usual explanation, 0.16 x 0.80 taken up x 0.80 excreted x 0.90 as
    ammonia = 0.0922, is from memory.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> ammonia_production(Q(10, "g/day"), 0.45).round(3)
    <Quantity(0.414, 'gram / day')>
    """
    ammonia_per_protein = or_row(ammonia_per_protein, "ammonia_per_protein")
    return ammonia_per_protein * feed * protein_fraction


@public(returns="g/day", sources=("FAO77",))
def feed_nitrogen(
    feed: Annotated[Amount, FEED],
    protein_fraction: Annotated[Number, SHARE],
) -> Any:
    """Return the nitrogen that comes in with the food, in g/day.

    All of it stays in the tank, in animals or in water, until something takes it out.

    Equation: N = 0.16 F p, with feed F and protein fraction p.

    Parameters
    ----------
    feed : quantity, 0 to 1e+06 g/day
    protein_fraction : plain number, 0 to 1
        The label's crude protein; 45 % is 0.45.

    Returns
    -------
    quantity in g/day

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: FAO77 for the factor 6.25, which is 1 / 0.16, read in secondary copies.
    Validity: crude protein on a label is nitrogen x 6.25 by definition, so 0.16 gives back what
    was measured; true proteins hold 13 to 19 %.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> feed_nitrogen(Q(10, "g/day"), 0.45).round(2)
    <Quantity(0.72, 'gram / day')>
    """
    return parameter("nitrogen_in_protein").bare * feed * protein_fraction


class NitrogenBudget(NamedTuple):
    """Where the nitrogen of the food goes, as rates; the four add up to the food's nitrogen."""

    total_ammonia: Any
    other_dissolved: Any
    solids: Any
    retained: Any


def _shares(taken_up: Any, excreted: Any) -> tuple[Any, Any]:
    taken_up = or_row(taken_up, "feed_nitrogen_taken_up")
    excreted = or_row(excreted, "taken_up_nitrogen_excreted")
    return taken_up, excreted


def _check_shares(taken_up: Any, excreted: Any, **_: Any) -> None:
    taken_up, excreted = _shares(taken_up, excreted)
    ammonia = parameter("ammonia_per_protein").bare / parameter("nitrogen_in_protein").bare
    if np.any(np.asarray(taken_up * excreted) < ammonia):
        shown = f"{np.min(taken_up * excreted):g} together"
        valid = f"a product of at least {ammonia:g}, the share that leaves as ammonia"
        why = "leaves less excreted than the ammonia alone"
        raise ValidityError("taken_up, excreted", shown, valid, "TimmonsEbeling2013", why)


@public(
    returns=dict.fromkeys(NitrogenBudget._fields, "g/day"),
    sources=("TimmonsEbeling2013", "FAO77"),
    together=_check_shares,
)
def nitrogen_budget(
    feed: Annotated[Amount, FEED],
    protein_fraction: Annotated[Number, SHARE],
    taken_up: Annotated[Number, SHARE] = None,
    excreted: Annotated[Number, SHARE] = None,
) -> Any:
    """Return where the food's nitrogen goes, as four rates in g/day.

    More than half leaves the fish as ammonia within hours; only about a sixth becomes fish.

    Equation: N = 0.16 F p; total_ammonia = 0.092 F p; solids = (1 - a) N;
    retained = a (1 - x) N; other_dissolved = what is left, with the share a taken up from the
    gut and the share x of that excreted.

    Parameters
    ----------
    feed : quantity, 0 to 1e+06 g/day
    protein_fraction : plain number, 0 to 1
        The label's crude protein; 45 % is 0.45.
    taken_up : plain number, 0 to 1
        None takes `feed_nitrogen_taken_up` of `data/parameters.csv`.
    excreted : plain number, 0 to 1
        None takes `taken_up_nitrogen_excreted` of `data/parameters.csv`.

    Returns
    -------
    NitrogenBudget of quantities in g/day, as nitrogen
        total_ammonia; other_dissolved (urea and the like); solids (faeces and uneaten food);
        retained (growth of the animals).

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or less would be excreted than the
        ammonia alone.

    Notes
    -----
    Source: TimmonsEbeling2013 for 0.092 (secondary text); the shares a = 0.80 and x = 0.80 are
    from memory, as is that 90 % of what is excreted is ammonia; FAO77 for 0.16.
    Validity: growing fish; grown fish retain nearly nothing. Others divide it otherwise:
    SomervilleEtAl2014 has 30 % retained and 15 % in solids (as reported in third-party notes), a
    trade article on ponds 20 to 30 % of the food's nitrogen in the harvest.
    Departures: other_dissolved closes the balance, so it is 6.5 % of N where the remembered
    90 % would make it 6.4 %.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> budget = nitrogen_budget(Q(10, "g/day"), 0.45)
    >>> budget.retained.round(4)
    <Quantity(0.1152, 'gram / day')>
    """
    nitrogen = feed_nitrogen.bare(feed, protein_fraction)
    ammonia = ammonia_production.bare(feed, protein_fraction)
    taken_up, excreted = _shares(taken_up, excreted)
    solids = (1.0 - taken_up) * nitrogen
    retained = taken_up * (1.0 - excreted) * nitrogen
    return NitrogenBudget(ammonia, nitrogen - ammonia - solids - retained, solids, retained)


class StockWastes(NamedTuple):
    """What a stock gets and gives off in a day: its food and five wastes or needs, as rates."""

    feed: Any
    ammonia: Any
    oxygen: Any
    carbon_dioxide: Any
    solids: Any
    phosphorus: Any


@public(
    returns=dict.fromkeys(StockWastes._fields, "g/day"),
    sources=("LupatschEtAl2013", "TimmonsEbeling2013", "AguilarEtAl2017", "SyandriEtAl2021"),
)
def stock_wastes(
    stock_mass: Annotated[Amount, STOCK],
    body_mass: Annotated[Amount, BODY],
    temperature: Annotated[Amount, WARMTH],
    protein_fraction: Annotated[Number, SHARE],
    ration: Annotated[Number, Range(0, 15)] = None,
) -> Any:
    """Return a stock's food and what becomes of it in a day, as six rates in g/day.

    This is the load a filter has to carry: fish become food, and food becomes everything else.

    Equation: F of `daily_feed`, then each waste by its own function; oxygen is the larger of
    the two roads of `oxygen_roads`, so that unfed fish still breathe.

    Parameters
    ----------
    stock_mass : quantity, 0 to 1e+06 g
    body_mass : quantity, 0.05 to 2000 g
    temperature : quantity, 4 to 33 degC
    protein_fraction : plain number, 0 to 1
        The label's crude protein; 45 % is 0.45.
    ration : plain number, 0 to 15
        None takes `feeding_ration` of `data/parameters.csv`; 0 for fasting.

    Returns
    -------
    StockWastes of quantities in g/day
        feed; ammonia (as nitrogen); oxygen (the fish alone); carbon_dioxide (breathed out);
        solids (dry); phosphorus (as P, all that is not kept).

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: LupatschEtAl2013 for the food; TimmonsEbeling2013 for ammonia and, from memory, for
    solids; AguilarEtAl2017 for breathing; SyandriEtAl2021 for phosphorus kept.
    Validity: as the single functions. Fasting fish still give off some ammonia from their own
    bodies; that is left out, and small.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> stock_wastes(Q(100, "g"), Q(5, "g"), Q(25, "degC"), 0.45).ammonia.to("mg/day").round(1)
    <Quantity(34.1, 'milligram / day')>
    """
    feed = daily_feed.bare(stock_mass, body_mass, temperature, ration)
    oxygen = oxygen_roads.bare(stock_mass, body_mass, temperature, feed).larger
    return StockWastes(
        feed,
        ammonia_production.bare(feed, protein_fraction),
        oxygen,
        carbon_dioxide_production.bare(oxygen),
        solids_production.bare(feed),
        phosphorus_production.bare(feed).phosphorus,
    )
