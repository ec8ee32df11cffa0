"""What a tank needs: from its food to the surface, the litres and the kilograms of media."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.draws import Span
from aqualib.edge import model, public
from aqualib.filtration.biofilm import film_limits, film_uptake
from aqualib.filtration.biofilm.acid_water import ACID_LOSSES, FILM_PH
from aqualib.filtration.biofilm.film_law import CAPACITIES, SOME, TRANSFERS
from aqualib.filtration.biofilm.grown_film import FILM_TEMPERATURES, SHARES
from aqualib.filtration.biofilm.salty_water import AT_SEA, SALT
from aqualib.parameters import or_row
from aqualib.tank.load import ammonia_production, daily_feed
from aqualib.tank.load.stock import STOCK_MASSES
from aqualib.tank.sizing.flow_past import FLOW, required_area
from aqualib.tank.sizing.food_limits import rock_area
from aqualib.tank.sizing.system import SYSTEM, Numbers
from aqualib.tank.sizing.uncertainty import Doubtful, all_sets, best, span
from aqualib.units import LITRES_PER_HOUR, Amount, Number
from aqualib.validity import Range, ValidityError
from aqualib.water.oxygen import saturation

FEEDS = Range(0, 1e6, "g/day")


class RequiredMedia(NamedTuple):
    """What the food asks of a filter: ammonia to take out, and media to do it."""

    ammonia: Any
    areal_rate: Any
    area: Any
    mass: Any
    volume: Any


def _check_flow(feed: Any, flow: Any, **rest: Any) -> None:
    """Raise where the flow cannot bring the ammonia to the media."""
    if flow is None or rest["areal_rate"] is not None:
        return
    needed = required_media.bare(feed, flow=flow, **rest)
    if not np.all(np.isfinite(needed.area)):
        why = "cannot bring the ammonia of this food to any media"
        ammonia = np.max(needed.ammonia)
        allowed = np.min(or_row(rest["total_ammonia_nitrogen"], "ammonia_allowed"))
        valid = f"more than {LITRES_PER_HOUR * ammonia / allowed:g} L/h"
        shown = f"{LITRES_PER_HOUR * np.min(flow):g} L/h"
        raise ValidityError("flow", shown, valid, "", why)


@public(
    returns={
        "ammonia": "g/day",
        "areal_rate": "g/m**2/day",
        "area": "m**2",
        "mass": "kg",
        "volume": "L",
    },
    sources=("TimmonsEbeling2013", "KinyageEtAl2019", "NijhofBovendeur1990", "ZhuChen2002"),
    together=_check_flow,
)
def required_media(
    feed: Annotated[Amount, FEEDS],
    protein_fraction: Annotated[Number, Range(0, 1)],
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, SALT] = 0.0,
    total_ammonia_nitrogen: Annotated[Amount | None, Range(1e-3, 100, "mg/L")] = None,
    flow: Annotated[Amount | None, FLOW] = None,
    rock_mass: Annotated[Amount, Range(0, 1e5, "kg")] = 0.0,
    pad_area: Annotated[Amount, Range(0, 1e4, "m**2")] = 0.0,
    area_per_mass: Annotated[Amount | None, Range(1e-3, 100, "m**2/kg")] = None,
    bulk_density: Annotated[Amount | None, Range(1, 5000, "kg/m**3")] = None,
    areal_rate: Annotated[Amount | None, Range(1e-4, 20, "g/m**2/day")] = None,
    oxygen: Annotated[Amount | None, Range(0.1, 50, "mg/L")] = None,
    transfer: Annotated[Amount | None, TRANSFERS] = None,
    capacity: Annotated[Amount | None, CAPACITIES] = None,
    at_sea: Annotated[Number | None, AT_SEA] = None,
    nitrifying_share: Annotated[Number | None, SHARES] = None,
    half_saturation: Annotated[Amount | None, SOME] = None,
    roughness: Annotated[Number | None, Range(1, 100)] = None,
    ammonia_per_protein: Annotated[Number | None, Range(0, 0.16)] = None,
    ph: Annotated[Number | None, FILM_PH] = None,
    acid_loss: Annotated[Number | None, ACID_LOSSES] = None,
) -> RequiredMedia:
    """Return the media that a day's food asks for, as five amounts.

    Food sets the media, and litres do not: twice the food wants twice the kilograms, in a small
    tank as in a large one.

    Equation: p = 0.092 F p_f; A of `required_area`, or p / r for a given areal rate r;
    M = (A - A_pads) / a with a m²/kg; V = M / ρ.

    protein_fraction: The label's crude protein; 45 % is 0.45.
    total_ammonia_nitrogen: C, what may remain, as nitrogen; None takes `ammonia_allowed` of
        `data/parameters.csv`.
    flow: Q, through the media; None is plenty.
    rock_mass: Live rock in the tank, which does its part.
    pad_area: Surface of the filter's pads, which do theirs.
    area_per_mass: a; None takes `media_area_per_mass`.
    bulk_density: ρ; None takes `media_bulk_density`.
    areal_rate: r, if you have one of your own; None reckons it from the water.
    oxygen: Dissolved, at the media; None is saturated water.
    transfer: As for `film_limits`.
    capacity: As for `film_limits`.
    at_sea: As for `salt_share`.
    nitrifying_share: As for `film_limits`.
    half_saturation: As for `areal_rate`.
    roughness: As for `rock_area`.
    ammonia_per_protein: None takes `ammonia_per_protein`.
    ph: As for `film_limits`.
    acid_loss: As for `acid_share`.
    Returns: ammonia (as nitrogen, all of it); areal_rate (where the water enters); area (of film
        in the filter); mass (of media, none if rock and pads are enough); volume (of media).
    Raises: the flow brings too little.
    Source: TimmonsEbeling2013 for 0.092; KinyageEtAl2019, NijhofBovendeur1990 and ZhuChen2002
        for the film, as `areal_rate`.
    Validity: as `film_limits`: a grown filter, long in this water. It may need three times more
        or less; see `what_it_needs`. Only the outer surface of porous media counts.
    Departures: none beside those of `areal_rate`.

    >>> needed = required_media(Q(4, "g/day"), 0.45, Q(25, "degC"), areal_rate=Q(0.2, "g/m**2/day"))
    >>> needed.mass.round(2)
    <Quantity(1.16, 'kilogram')>
    """
    ammonia = ammonia_production.bare(feed, protein_fraction, ammonia_per_protein)
    water = temperature, salinity, oxygen
    own = nitrifying_share, transfer, capacity, at_sea, ph, acid_loss
    limits = film_limits.bare(*water, *own)
    half = or_row(half_saturation, "total_ammonia_half_saturation")
    film = limits.transfer, limits.ammonia_most, half
    allowed = or_row(total_ammonia_nitrogen, "ammonia_allowed")
    rate = film_uptake.bare(allowed, *film) if areal_rate is None else areal_rate
    by_rock = rock_area.bare(rock_mass, roughness=roughness) * rate
    for_filter = np.maximum(ammonia - by_rock, 0.0)
    area = (
        required_area.bare(for_filter, allowed, *film, flow)
        if areal_rate is None
        else for_filter / rate
    )
    mass = np.maximum(area - pad_area, 0.0) / or_row(area_per_mass, "media_area_per_mass")
    volume = mass / or_row(bulk_density, "media_bulk_density")
    return RequiredMedia(ammonia, rate, area, mass, volume)


class MediaNeeded(NamedTuple):
    """The media a tank needs for its food, each as low, best and high; see `Span`.

    A high end may be infinite: then the flow may bring too little for any media.
    """

    feed: Any
    ammonia: Span
    areal_rate: Span
    area: Span
    mass: Span
    volume: Span


def _check_one_of_two(feed: Any, stock_mass: Any, **_: Any) -> None:
    if (feed is None) == (stock_mass is None):
        given = "neither" if feed is None else "both"
        why = "must be one of the two"
        raise ValidityError("feed, stock_mass", given, "feed, or stock_mass", "", why)


@model(
    returns={
        "feed": "g/day",
        "ammonia": "g/day",
        "areal_rate": "g/m**2/day",
        "area": "m**2",
        "mass": "kg",
        "volume": "L",
    },
    together=_check_one_of_two,
)
def what_it_needs(
    system: Annotated[Numbers, SYSTEM],
    feed: Annotated[float | None, FEEDS] = None,
    stock_mass: Annotated[float | None, STOCK_MASSES] = None,
) -> MediaNeeded:
    """Return the media this tank needs for a day's food or for its fish, whatever it has now.

    Raises: not just one of `feed` and `stock_mass` is given.

    >>> from aqualib.tank.sizing import FilterSystem
    >>> needed = what_it_needs(FilterSystem(salinity=35), feed=Q(4, "g/day"))
    >>> [round(float(end.m), 1) for end in needed.mass]
    [1.8, 10.5, 26.6]
    """
    if feed is None:
        fish = system.body_mass, system.temperature, system.ration
        feed = float(daily_feed.bare(stock_mass, *fish))
    one, many = needed_media(system, feed, best()), needed_media(system, feed, all_sets())
    return MediaNeeded(feed, *(span(a, b) for a, b in zip(one, many, strict=True)))


def needed_media(system: Numbers, feed: float, doubts: Doubtful) -> RequiredMedia:
    """Return the media needed, for numbers or for sets of them; infinite where flow fails."""
    full = float(saturation.bare(system.temperature, system.salinity))
    needed: RequiredMedia = required_media.bare(
        feed,
        system.protein_fraction,
        system.temperature,
        system.salinity,
        system.total_ammonia_nitrogen,
        system.flow,
        system.rock_mass,
        system.pad_area,
        system.area_per_mass,
        system.bulk_density,
        oxygen=system.oxygen_kept * full,
        transfer=doubts.transfer,
        capacity=doubts.capacity,
        at_sea=doubts.at_sea,
        nitrifying_share=doubts.nitrifying_share,
        half_saturation=doubts.half_saturation,
        roughness=doubts.roughness,
        ammonia_per_protein=doubts.ammonia_per_protein,
        ph=system.ph,
        acid_loss=doubts.acid_loss,
    )
    return needed
