"""The audit of a rule of thumb: so many kilograms of media for so many litres of tank."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row
from aqualib.tank.areal_rate import SALINITY, WARMTH
from aqualib.tank.areal_rate import areal_rate as areal_rate_of
from aqualib.tank.load import ammonia_production
from aqualib.tank.nitrate_audit import (
    MEDIA,
    PROTEIN,
    WATER,
    NitrateAudit,
    nitrate_audit,
)
from aqualib.tank.wastes import RATE

__all__ = ["NitrateAudit", "RuleAudit", "audit_rule", "nitrate_audit"]


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
    temperature: Annotated[Amount, WARMTH],
    salinity: Annotated[Number, SALINITY] = 0.0,
    feed: Annotated[Amount, RATE] = 0.0,
    total_ammonia_nitrogen: Annotated[Amount, Range(0.001, 50, "mg/L")] = None,
    area_per_mass: Annotated[Amount, Range(1e-3, 100, "m**2/kg")] = None,
    areal_rate: Annotated[Amount, Range(1e-6, 100, "g/m**2/day")] = None,
    working_share: Annotated[Number, Range(0.01, 10)] = None,
    ammonia_per_protein: Annotated[Number, Range(1e-3, 0.16)] = None,
) -> Any:
    """Return what a rule of media for a volume assumes, and the food a day it can carry.

    Kilograms for litres say nothing of food; once protein, warmth, salt and the ammonia that may
    remain are named, the rule turns into a number of grams of food a day, and holds up to there.

    Equation: A = w a m; F = r A / (0.092 p); r_needed = 0.092 p feed / A; load = feed / F, with
    the surface a of a kilogram, the share w of it that works and the rate r of `areal_rate`.

    Parameters
    ----------
    media_mass : quantity, 0.001 to 100000 kg
        What the rule asks for, m ...
    volume : quantity, 0.1 to 1e+06 L
        ... for this much water: 2 kg for 100 L, or 4.4 lb for 26 gallons.
    protein_fraction : plain number, 0.05 to 1
        The label's crude protein, p; 45 % is 0.45.
    temperature : quantity, 4 to 33 degC
    salinity : plain number (practical salinity), 0 to 40
    feed : quantity, 0 to 1e+06 g/day
        Food a day into that volume, if the load is to be judged.
    total_ammonia_nitrogen : quantity, 0.001 to 50 mg/L
        What may remain in the water; None takes `ammonia_allowed` of `data/parameters.csv`.
    area_per_mass : quantity, 0.001 to 100 m**2/kg
        Outer surface, a; None takes `media_area_per_mass` of `data/parameters.csv`.
    areal_rate : quantity, 1e-06 to 100 g/m**2/day
        None works it out from temperature, salinity and ammonia.
    working_share : plain number, 0.01 to 10
        w; None takes `media_working_share`.
    ammonia_per_protein : plain number, 0.001 to 0.16
        None takes `ammonia_per_protein`, 0.092.

    Returns
    -------
    RuleAudit
        media_density (kg/hL: kilograms for 100 L); area (m**2, that works); areal_rate
        (g/m**2/day); ammonia_removed (g/day, as nitrogen); feed_carried (g/day, in that volume);
        feed_density (g/hL/day: grams for 100 L); areal_rate_needed (g/m**2/day, for `feed`);
        load_share (plain number: feed over feed_carried; above 1 the rule fails).

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TimmonsEbeling2013 for 0.092; KinyageEtAl2019 and NijhofBovendeur1990 for the rate,
    through `areal_rate`.
    Validity: ammonia only, on the outer surface of mature media that get enough oxygen and flow.
    The rate is uncertain by more than a factor of three each way: look at the band, not the line.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> audit = audit_rule(Q(2, "kg"), Q(100, "L"), 0.45, Q(25, "degC"), salinity=35)
    >>> audit.area.round(3)
    <Quantity(1.422, 'meter ** 2')>
    """
    total_ammonia_nitrogen = or_row(total_ammonia_nitrogen, "ammonia_allowed")
    area_per_mass = or_row(area_per_mass, "media_area_per_mass")
    if areal_rate is None:
        areal_rate = areal_rate_of.bare(total_ammonia_nitrogen, temperature, salinity)
    working_share = or_row(working_share, "media_working_share")
    area = working_share * area_per_mass * media_mass
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
