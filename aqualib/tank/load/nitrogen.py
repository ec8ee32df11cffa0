"""What the food does to the water: its nitrogen, how fast ammonia rises, a whole stock's wastes."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row, parameter
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.nitrogen import as_nitrate
from aqualib.water.properties import first_bad

AMMONIA_PRODUCTIONS = Range(0, 1e6, "g/day")
AMMONIA_LEVELS = Range(0, 1000, "mg/L")
FEEDS = Range(0, 1e6, "g/day")
PROTEIN_SHARES = Range(0, 1)


@public(returns="mg/L/day", sources=())
def ammonia_rise(
    production: Annotated[Amount, AMMONIA_PRODUCTIONS],
    volume: Annotated[Amount, Range(0.1, 1e6, "L")],
) -> Number:
    """Return how fast ammonia rises in a tank without a working filter, in mg/L/day as nitrogen.

    A small tank warns late: the same food in half the water rises twice as fast.

    Equation: r = P / V.

    production: As given by `ammonia_production`.
    volume: The water that is really there.
    Returns: As nitrogen.
    Source: mass balance.
    Validity: mixed water; no filter, plants or water change take ammonia out.

    >>> round(ammonia_rise(Q(0.1, "g/day"), Q(50, "L")).m_as("mg/L/day"), 2)
    2.0
    """
    return production / volume


@public(returns="mg/L/day", sources=())
def nitrate_rise(
    production: Annotated[Amount, AMMONIA_PRODUCTIONS],
    volume: Annotated[Amount, Range(0.1, 1e6, "L")],
) -> Number:
    """Return how fast nitrate rises where a filter turns all ammonia into it, in mg/L/day.

    A filter that works well does not take the nitrogen out: only water changes do.

    Equation: r = (P / V) M, with M the nitrate (NO3-) that a gram of nitrogen becomes.

    production: As given by `ammonia_production`.
    volume: The water that is really there.
    Returns: As nitrate.
    Source: mass balance.
    Validity: mixed water in which nothing takes nitrate up: no plants, and no stone that lets it
        escape as gas.

    >>> nitrate_rise(Q(0.1, "g/day"), Q(50, "L")).round(2)
    <Quantity(8.85, 'milligram / liter / day')>
    """
    return as_nitrate.bare(production) / volume


def _check_below(limit: Any, start: Any, **_: Any) -> None:
    passed = np.asarray(limit) < np.asarray(start) * (1.0 - 1e-9)
    if np.any(passed):
        why = "is below `start`: it is passed already"
        (value,) = first_bad(passed, limit)
        raise ValidityError("limit", f"{value * 1000.0:g} mg/L", "at least `start`", "", why)


@public(returns="hour", sources=(), together=_check_below)
def time_to_reach(
    limit: Annotated[Amount, AMMONIA_LEVELS],
    start: Annotated[Amount, AMMONIA_LEVELS],
    rise: Annotated[Amount, Range(1e-3, 1e4, "mg/L/day")],
) -> Number:
    """Return how long ammonia takes to rise from a start to a limit, in hours.

    This is the time you have to act when a filter has stopped.

    Equation: t = (C_limit - C_start) / r.

    rise: As given by `ammonia_rise`.
    Raises: `limit` is below `start`.
    Source: mass balance.
    Validity: a steady rise, as `ammonia_rise`; after a meal it is steeper for some hours.

    >>> time_to_reach(Q(1, "mg/L"), Q(0, "mg/L"), Q(2, "mg/L/day")).round(1)
    <Quantity(12.0, 'hour')>
    """
    return np.maximum(limit - start, 0.0) / rise


@public(returns="g/day", sources=("TimmonsEbeling2013",))
def ammonia_production(
    feed: Annotated[Amount, FEEDS],
    protein_fraction: Annotated[Number, PROTEIN_SHARES],
    ammonia_per_protein: Annotated[Number | None, Range(0, 0.16)] = None,
) -> Number:
    """Return the total ammonia that a day's food becomes, in g/day as nitrogen.

    Food, not the number of fish or litres, sets the load: 10 g of a 45 % protein food gives
    about 0.4 g of ammonia nitrogen.

    Equation: P = 0.092 F p, with feed F and protein fraction p.

    protein_fraction: The label's crude protein; 45 % is 0.45.
    ammonia_per_protein: None takes `ammonia_per_protein` of `data/parameters.csv`.
    Returns: As nitrogen.
    Source: TimmonsEbeling2013 for 0.092, read in a secondary text that cites the book.
    Validity: a design value for fed fish in recirculating tanks. Seabream in one study gave off
        about 30 % of the nitrogen they ate as ammonia; 0.092 is 57.5 %.
    Departures: none. The usual explanation, 0.16 x 0.80 taken up x 0.80 excreted x 0.90 as
        ammonia = 0.0922, is from memory.

    >>> ammonia_production(Q(10, "g/day"), 0.45).round(3)
    <Quantity(0.414, 'gram / day')>
    """
    ammonia_per_protein = or_row(ammonia_per_protein, "ammonia_per_protein")
    return ammonia_per_protein * feed * protein_fraction


@public(returns="g/day", sources=("FAO77",))
def feed_nitrogen(
    feed: Annotated[Amount, FEEDS],
    protein_fraction: Annotated[Number, PROTEIN_SHARES],
) -> Number:
    """Return the nitrogen that comes in with the food, in g/day.

    All of it stays in the tank, in animals or in water, until something takes it out.

    Equation: N = 0.16 F p, with feed F and protein fraction p.

    protein_fraction: The label's crude protein; 45 % is 0.45.
    Source: FAO77 for the factor 6.25, which is 1 / 0.16, read in secondary copies.
    Validity: crude protein on a label is nitrogen x 6.25 by definition, so 0.16 gives back what
        was measured; true proteins hold 13 to 19 %.

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
    feed: Annotated[Amount, FEEDS],
    protein_fraction: Annotated[Number, PROTEIN_SHARES],
    taken_up: Annotated[Number | None, PROTEIN_SHARES] = None,
    excreted: Annotated[Number | None, PROTEIN_SHARES] = None,
) -> NitrogenBudget:
    """Return where the food's nitrogen goes, as four rates in g/day.

    More than half leaves the fish as ammonia within hours; only about a sixth becomes fish.

    Equation: N = 0.16 F p; total_ammonia = 0.092 F p; solids = (1 - a) N;
    retained = a (1 - x) N; other_dissolved = what is left, with the share a taken up from the
    gut and the share x of that excreted.

    protein_fraction: The label's crude protein; 45 % is 0.45.
    taken_up: None takes `feed_nitrogen_taken_up` of `data/parameters.csv`.
    excreted: None takes `taken_up_nitrogen_excreted` of `data/parameters.csv`.
    Returns: total_ammonia (as nitrogen, like the rest); other_dissolved (urea and the like);
        solids (faeces and uneaten food); retained (growth of the animals).
    Raises: less would be excreted than the ammonia alone.
    Source: TimmonsEbeling2013 for 0.092 (secondary text); the shares a = 0.80 and x = 0.80 are
        from memory, as is that 90 % of what is excreted is ammonia; FAO77 for 0.16.
    Validity: growing fish; grown fish retain nearly nothing. Others divide it otherwise:
        SomervilleEtAl2014 has 30 % retained and 15 % in solids (as reported in third-party
        notes), a trade article on ponds 20 to 30 % of the food's nitrogen in the harvest.
    Departures: other_dissolved closes the balance, so it is 6.5 % of N where the remembered 90
        % would make it 6.4 %.

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
