"""What a rule asks of its media if all the nitrate is to go: room without oxygen, and carbon."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row, parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.wastes import RATE
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
    feed: Annotated[Amount, RATE],
    protein_fraction: Annotated[Number, PROTEIN],
    bulk_density: Annotated[Amount, Range(20, 3000, "kg/m**3")] = None,
) -> Any:
    """Return what media must do to take out all the nitrate, per litre of them and of tank.

    Media turn ammonia into nitrate with oxygen; to turn nitrate into gas they need places without
    oxygen and food for bacteria there. A rule in kilograms says nothing of either.

    Equation: N = 0.092 F p; V = m / rho; media_rate = N / V, tank_rate = N / (tank volume);
    carbon_least = 2.856 N, carbon = 5 N (4 to 6), as COD.

    Parameters
    ----------
    media_mass : quantity, 0.001 to 100000 kg
        Dry media, m.
    volume : quantity, 0.1 to 1e+06 L
        The water of the tank.
    feed : quantity, 0 to 1e+06 g/day
        Food into that tank, F.
    protein_fraction : plain number, 0.05 to 1
        The label's crude protein, p; 45 % is 0.45.
    bulk_density : quantity, 20 to 3000 kg/m**3
        As the media lie in the filter, rho; None takes `media_bulk_density` of
        `data/parameters.csv`.

    Returns
    -------
    NitrateAudit
        nitrogen (g/day, all the ammonia made); media_volume (L); media_rate (mg/L/day of media);
        over_fed_reactor (plain number: that rate over one measured in a fed reactor);
        tank_rate (mg/L/day of tank water); over_fed_loop (plain number: that over one measured
        with a fed side column); carbon_least and carbon (g/day, as COD).

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: TimmonsEbeling2013 for 0.092; GrommenEtAl2005 for 18.5 mg/L/day in a reactor fed with
    hydrogen (ChristiansonEtAl2015 had 710 to 800 with sulphur); VidalEtAl2002 for 0.14 to 0.49
    mg/L/day of loop water; KlasEtAl2006 for 4 to 6; IUPACAtomicWeights for 2.856.
    Validity: no water change and no plants, so that all nitrogen must leave as gas. The measured
    rates are of reactors that were fed; no rate of unfed porous media was found.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
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
        carbon=parameter("denitrification_carbon").bare * nitrogen,
    )
