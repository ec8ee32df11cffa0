"""What each part of a filter can do, said as grams of food a day: one coin for all of them."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.tank.load import ammonia_production, solids_production
from aqualib.tank.sizing.oxygen import PER_FEED, oxygen_needs
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.nitrogen import denitrification_carbon_demand, oxygen_demand

DAILY_RATES = Range(0, 1e6, "g/day")
SOME = Range(0.01, 1)
PER_PROTEIN = Range(0.001, 0.16)
LEAST = np.finfo(float).tiny
"""Stands for a need of nought."""


@public(returns="g/day", sources=("TimmonsEbeling2013",))
def feed_for_ammonia(
    removed: Annotated[Amount, DAILY_RATES],
    protein_fraction: Annotated[Number, SOME],
    ammonia_per_protein: Annotated[Number | None, PER_PROTEIN] = None,
) -> Number:
    """Return the food whose ammonia a filter takes out, in g/day.

    It is `ammonia_production` read backwards: from the ammonia to the food.

    Equation: F = p / (0.092 p_f), with the ammonia p taken out and the protein fraction p_f.

    removed: Ammonia taken out, or nitrate where that is in question; as nitrogen.
    ammonia_per_protein: None takes `ammonia_per_protein` of `data/parameters.csv`.
    Returns: Of food.
    Source: TimmonsEbeling2013 for 0.092, as `ammonia_production`.
    Validity: as `ammonia_production`.

    >>> feed_for_ammonia(Q(0.1656, "g/day"), 0.45).round(3)
    <Quantity(4.0, 'gram / day')>
    """
    return removed / ammonia_production.bare(1.0, protein_fraction, ammonia_per_protein)


@public(returns="g/day", sources=("TimmonsEbeling2013", "EPA1993"))
def feed_for_filter_oxygen(
    oxygen: Annotated[Amount, DAILY_RATES],
    protein_fraction: Annotated[Number, SOME],
    elsewhere: Annotated[Amount, DAILY_RATES] = 0.0,
    dirt: Annotated[Number | None, PER_FEED] = None,
    ammonia_per_protein: Annotated[Number | None, PER_PROTEIN] = None,
) -> Number:
    """Return the food for which the flow brings the filter enough oxygen, in g/day.

    More media do not help a filter that is short of breath; more flow does.

    Equation: F = (O + 4.329 R) / (4.329 x 0.092 p_f + d), at most O / d, with the ammonia R that
    is nitrified outside the filter, on rock in the tank.

    oxygen: O, as of `oxygen_by_flow`.
    elsewhere: R, as nitrogen; left out, none.
    dirt: d, as of `oxygen_needs`; None takes `dirt_oxygen_per_feed` of `data/parameters.csv`.
    ammonia_per_protein: None takes `ammonia_per_protein`.
    Returns: Of food.
    Source: TimmonsEbeling2013 for 0.092, EPA1993 for oxygen, as `oxygen_needs`.
    Validity: a closed filter that holds all the dirt.

    >>> feed_for_filter_oxygen(Q(43.2, "g/day"), 0.45).round(0)
    <Quantity(114.0, 'gram / day')>
    """
    needs = oxygen_needs.bare(protein_fraction, 0.0, dirt, ammonia_per_protein)
    spared = oxygen_demand.bare(elsewhere, True)
    shared = (oxygen + spared) / np.maximum(needs.everything, LEAST)
    return np.minimum(shared, oxygen / np.maximum(needs.dirt, LEAST))


@public(returns="g/day", sources=("TimmonsEbeling2013", "EPA1993"))
def feed_for_tank_oxygen(
    oxygen: Annotated[Amount, DAILY_RATES],
    protein_fraction: Annotated[Number, SOME],
    fish: Annotated[Number | None, PER_FEED] = None,
    dirt: Annotated[Number | None, PER_FEED] = None,
    ammonia_per_protein: Annotated[Number | None, PER_PROTEIN] = None,
) -> Number:
    """Return the food for which the tank's surface takes up enough oxygen, in g/day.

    Fish and filter breathe the same water: the air has to keep both.

    Equation: F = O / (fish + 4.329 x 0.092 p_f + d).

    oxygen: O, as of `oxygen_through_surface`.
    fish: As of `fish_oxygen_per_feed`; None takes `oxygen_per_feed` of `data/parameters.csv`.
    dirt: d, as of `oxygen_needs`; None takes `dirt_oxygen_per_feed`.
    ammonia_per_protein: None takes `ammonia_per_protein`.
    Returns: Of food.
    Source: TimmonsEbeling2013 and EPA1993, as `oxygen_needs`.
    Validity: means over a day; after a meal and at night fish need more than this.

    >>> feed_for_tank_oxygen(Q(10, "g/day"), 0.45, fish=0.85).round(2)
    <Quantity(8.14, 'gram / day')>
    """
    needs = oxygen_needs.bare(protein_fraction, fish, dirt, ammonia_per_protein)
    return oxygen / np.maximum(needs.everything, LEAST)


@public(returns="g/day", sources=("TimmonsEbeling2013",))
def feed_for_dirt(
    held: Annotated[Amount, Range(0, 1e6, "g")],
    interval: Annotated[Amount, Range(0.1, 3650, "day")],
    solids_per_feed: Annotated[Number | None, Range(0.01, 1)] = None,
) -> Number:
    """Return the food whose dirt the pads hold from one cleaning to the next, in g/day.

    Clean twice as often and the same pads carry twice the food.

    Equation: F = H / (0.25 t), with the dry dirt H held and the time t between cleanings.

    held: Dry dirt that the pads and the settling space hold until they are due for cleaning.
    solids_per_feed: None takes `solids_per_feed` of `data/parameters.csv`.
    Returns: Of food.
    Source: from memory of TimmonsEbeling2013 for 0.25, as `solids_production`.
    Validity: all dirt reaches the filter, and the pads share it well: a pad that fills before
        the others ends the time earlier. Dirt also rots away, which helps and costs oxygen.

    >>> feed_for_dirt(Q(60, "g"), Q(30, "day")).round(2)
    <Quantity(8.0, 'gram / day')>
    """
    return held / interval / solids_production.bare(1.0, solids_per_feed)


@public(
    returns="g/day",
    sources=("GrommenEtAl2005", "ChristiansonEtAl2015", "VidalEtAl2002", "KlasEtAl2006"),
)
def nitrate_removed(
    anoxic_volume: Annotated[Amount, Range(0, 1e5, "L")],
    carbon: Annotated[Amount | None, Range(0, 1e6, "g/day")] = None,
    rate: Annotated[Amount | None, Range(0, 1000, "mg/L/day")] = None,
    denitrifier_yield: Annotated[Number | None, Range(0, 0.9)] = None,
) -> Number:
    """Return the nitrate nitrogen that media without oxygen would turn to gas, in g/day.

    Room without oxygen is not enough: without food for the bacteria in it, nitrate stays. Live
    rock, measured once, took none that could be told from nothing; for filter media we found no
    measurement.

    Equation: N = the lower of r V and COD (1 - Y) / 2.856.

    anoxic_volume: V, the media that are said to be without oxygen.
    carbon: COD, food that reaches them, as chemical oxygen demand; None is plenty.
    rate: r; None takes `denitrification_rate` of `data/parameters.csv`, which is a guess.
    denitrifier_yield: Y; None takes `denitrifier_yield`.
    Returns: As nitrogen.
    Source: GrommenEtAl2005 measured 18.5 mg/L/day in a reactor fed with hydrogen,
        ChristiansonEtAl2015 710 to 800 on fluidised sulphur, VidalEtAl2002 0.14 to 0.49 per
        litre of tank with a side column; KlasEtAl2006 found 4 to 6 g of food needed for each g
        of nitrogen, of which Y is the middle, 5.0 g.
    Validity: bounds from reactors made for the purpose; contested for filter media.

    >>> nitrate_removed(Q(2, "L"), rate=Q(18.5, "mg/L/day")).to("mg/day")
    <Quantity(37.0, 'milligram / day')>
    """
    rate = or_row(rate, "denitrification_rate")
    most = rate * anoxic_volume
    if carbon is None:
        return most
    return np.minimum(most, carbon / denitrification_carbon_demand.bare(1.0, denitrifier_yield))


@public(returns="m**2", sources=("NgEtAl2019", "TangEtAl2014"))
def rock_area(
    rock_mass: Annotated[Amount, Range(0, 1e5, "kg")],
    piece: Annotated[Amount | None, Range(1, 1000, "mm")] = None,
    roughness: Annotated[Number | None, Range(1, 100)] = None,
    bulk_density: Annotated[Amount | None, Range(500, 3500, "kg/m**3")] = None,
) -> Number:
    """Return the working surface that rock in the tank adds to the filter's, in m².

    A kilogram of rock in lumps of a fist has less surface than a handful of filter media; many
    kilograms still count.

    Equation: A = r 6 M / (ρ d), balls of width d made r times larger in surface by holes and bumps.

    rock_mass: M, dry.
    piece: d, a usual lump; None takes `rock_piece` of `data/parameters.csv`.
    roughness: r; None takes `rock_roughness`.
    bulk_density: ρ, pores counted as rock; None takes `reef_rock_bulk_density`.
    Source: geometry; NgEtAl2019 and TangEtAl2014 for the density.
    Validity: rock that has lived in the tank for months, with water moving past. No measured
        surface was found; r is assumed and may be wrong threefold. What live rock takes was
        measured (LiYanEtAl2017, abstract): 2.6 to 3.4 mg a day and kg, within our band.
    Departures: surface deep inside is not counted; it gets little oxygen. Nitrate that may go
        there is not counted either.

    >>> rock_area(Q(10, "kg")).round(2)
    <Quantity(1.08, 'meter ** 2')>
    """
    piece = or_row(piece, "rock_piece")
    roughness = or_row(roughness, "rock_roughness")
    bulk_density = or_row(bulk_density, "reef_rock_bulk_density")
    return roughness * 6.0 * rock_mass / (bulk_density * piece)
