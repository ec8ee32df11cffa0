"""The audit of a rule of thumb: so many kilograms of media for so many litres of tank."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from aqualib.edge import public
from aqualib.filtration.biofilm import areal_rate as areal_rate_of
from aqualib.filtration.biofilm.grown_film import FILM_TEMPERATURES, SHARES
from aqualib.filtration.biofilm.salty_water import SALT
from aqualib.parameters import or_row, parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.load.wastes import WASTE_RATES
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.nitrogen import denitrification_carbon_demand

MEDIA = Range(1e-3, 1e5, "kg")
WATER = Range(0.1, 1e6, "L")
PROTEIN = Range(0.05, 1)


class NitrateAudit(NamedTuple):
    """The nitrate to be taken out, what each litre must do for it, and the carbon it eats."""

    nitrogen: Any
    media_volume: Any
    media_rate: Any
    over_fed_reactor: Any
    tank_rate: Any
    over_fed_loop: Any
    carbon_least: Any
    carbon: Any


@public(
    returns={
        "nitrogen": "g/day",
        "media_volume": "L",
        "media_rate": "mg/L/day",
        "over_fed_reactor": "",
        "tank_rate": "mg/L/day",
        "over_fed_loop": "",
        "carbon_least": "g/day",
        "carbon": "g/day",
    },
    sources=(
        "TimmonsEbeling2013",
        "GrommenEtAl2005",
        "ChristiansonEtAl2015",
        "VidalEtAl2002",
        "KlasEtAl2006",
        "IUPACAtomicWeights",
    ),
)
def nitrate_audit(
    media_mass: Annotated[Amount, MEDIA],
    volume: Annotated[Amount, WATER],
    feed: Annotated[Amount, WASTE_RATES],
    protein_fraction: Annotated[Number, PROTEIN],
    bulk_density: Annotated[Amount | None, Range(20, 3000, "kg/m**3")] = None,
) -> NitrateAudit:
    """Return what media must do to take out all the nitrate, per litre of them and of tank.

    Media turn ammonia into nitrate with oxygen; to turn nitrate into gas they need places without
    oxygen and food for bacteria there. A rule in kilograms says nothing of either.

    Equation: N = 0.092 F p; V = m / rho; media_rate = N / V, tank_rate = N / (tank volume);
    carbon_least = 2.856 N, carbon = 5 N (4 to 6), as COD.

    media_mass: Dry media, m.
    volume: The water of the tank.
    feed: Food into that tank, F.
    protein_fraction: The label's crude protein, p; 45 % is 0.45.
    bulk_density: As the media lie in the filter, rho; None takes `media_bulk_density` of
        `data/parameters.csv`.
    Returns: nitrogen (all the ammonia made); media_rate (of media); over_fed_reactor (that rate
        over one measured in a fed reactor); tank_rate (of tank water); over_fed_loop (that over
        one measured with a fed side column); carbon_least (as COD); carbon (likewise).
    Source: TimmonsEbeling2013 for 0.092; GrommenEtAl2005 for 18.5 mg/L/day in a reactor fed
        with hydrogen (ChristiansonEtAl2015 had 710 to 800 with sulphur); VidalEtAl2002 for 0.14
        to 0.49 mg/L/day of loop water; KlasEtAl2006 for 4 to 6; IUPACAtomicWeights for 2.856.
    Validity: no water change and no plants, so that all nitrogen must leave as gas. The
        measured rates are of reactors that were fed; no rate of unfed porous media was found.

    >>> audit = nitrate_audit(Q(2, "kg"), Q(100, "L"), Q(2, "g/day"), 0.45)
    >>> round(float(audit.media_rate.m), 1)
    18.6
    """
    bulk_density = or_row(bulk_density, "media_bulk_density")
    nitrogen = ammonia_production.bare(feed, protein_fraction)
    media_volume = media_mass / bulk_density
    return NitrateAudit(
        nitrogen=nitrogen,
        media_volume=media_volume,
        media_rate=nitrogen / media_volume,
        over_fed_reactor=nitrogen / media_volume / parameter("fed_denitrification").bare,
        tank_rate=nitrogen / volume,
        over_fed_loop=nitrogen / volume / parameter("loop_denitrification").bare,
        carbon_least=denitrification_carbon_demand.bare(nitrogen, 0.0),
        carbon=denitrification_carbon_demand.bare(nitrogen),
    )


class RuleAudit(NamedTuple):
    """What a rule silently assumes: the surface it gives, its rate, and the food that carries."""

    media_density: Any
    area: Any
    areal_rate: Any
    ammonia_removed: Any
    feed_carried: Any
    feed_density: Any
    areal_rate_needed: Any
    load_share: Any


@public(
    returns={
        "media_density": "kg/hL",
        "area": "m**2",
        "areal_rate": "g/m**2/day",
        "ammonia_removed": "g/day",
        "feed_carried": "g/day",
        "feed_density": "g/hL/day",
        "areal_rate_needed": "g/m**2/day",
        "load_share": "",
    },
    sources=("TimmonsEbeling2013", "KinyageEtAl2019", "NijhofBovendeur1990"),
)
def audit_rule(
    media_mass: Annotated[Amount, MEDIA],
    volume: Annotated[Amount, WATER],
    protein_fraction: Annotated[Number, PROTEIN],
    temperature: Annotated[Amount, FILM_TEMPERATURES],
    salinity: Annotated[Number, SALT] = 0.0,
    feed: Annotated[Amount, WASTE_RATES] = 0.0,
    total_ammonia_nitrogen: Annotated[Amount | None, Range(0.001, 50, "mg/L")] = None,
    area_per_mass: Annotated[Amount | None, Range(1e-3, 100, "m**2/kg")] = None,
    areal_rate: Annotated[Amount | None, Range(1e-6, 100, "g/m**2/day")] = None,
    nitrifying_share: Annotated[Number | None, SHARES] = None,
    ammonia_per_protein: Annotated[Number | None, Range(1e-3, 0.16)] = None,
) -> RuleAudit:
    """Return what a rule of media for a volume assumes, and the food a day it can carry.

    Kilograms for litres say nothing of food; once protein, warmth, salt and the ammonia that may
    remain are named, the rule turns into a number of grams of food a day, and holds up to there.

    Equation: A = a m; F = r A / (0.092 p); r_needed = 0.092 p feed / A; load = feed / F, with
    the surface a of a kilogram and the rate r of `areal_rate`.

    media_mass: What the rule asks for, m ...
    volume: ... for this much water: 2 kg for 100 L, or 4.4 lb for 26 gallons.
    protein_fraction: The label's crude protein, p; 45 % is 0.45.
    feed: Food a day into that volume, if the load is to be judged.
    total_ammonia_nitrogen: What may remain in the water; None takes `ammonia_allowed` of
        `data/parameters.csv`.
    area_per_mass: Outer surface, a; None takes `media_area_per_mass` of `data/parameters.csv`.
    areal_rate: None works it out from temperature, salinity and ammonia.
    nitrifying_share: As for `film_limits`.
    ammonia_per_protein: None takes `ammonia_per_protein`, 0.092.
    Returns: media_density (kilograms for 100 L); area (of film); ammonia_removed (as
        nitrogen); feed_carried (in that volume); feed_density (grams for 100 L);
        areal_rate_needed (for `feed`); load_share (feed over feed_carried, above 1 the rule
        fails).
    Source: TimmonsEbeling2013 for 0.092; KinyageEtAl2019 and NijhofBovendeur1990 for the rate,
        through `areal_rate`.
    Validity: ammonia only, on the outer surface of mature media that get enough oxygen and
        flow. The rate is uncertain by more than a factor of three each way: look at the band,
        not the line.

    >>> audit = audit_rule(Q(2, "kg"), Q(100, "L"), 0.45, Q(25, "degC"), salinity=35)
    >>> audit.area.round(3)
    <Quantity(1.422, 'meter ** 2')>
    """
    total_ammonia_nitrogen = or_row(total_ammonia_nitrogen, "ammonia_allowed")
    area_per_mass = or_row(area_per_mass, "media_area_per_mass")
    if areal_rate is None:
        water = temperature, salinity, None, nitrifying_share
        areal_rate = areal_rate_of.bare(total_ammonia_nitrogen, *water)
    area = area_per_mass * media_mass
    removed = areal_rate * area
    # Ammonia is in proportion to the food: that of one unit of food tells the rest.
    of_one = ammonia_production.bare(1.0, protein_fraction, ammonia_per_protein)
    carried = removed / of_one
    return RuleAudit(
        media_density=media_mass / volume,
        area=area,
        areal_rate=areal_rate,
        ammonia_removed=removed,
        feed_carried=carried,
        feed_density=carried / volume,
        areal_rate_needed=of_one * feed / area,
        load_share=feed / carried,
    )
