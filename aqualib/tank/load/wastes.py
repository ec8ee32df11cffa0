"""What else the food becomes: oxygen used, carbon dioxide breathed out, and dirt."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.molar_masses import CARBON_DIOXIDE, OXYGEN_GAS, PHOSPHATE, PHOSPHORUS

WASTE_RATES = Range(0, 1e6, "g/day")
CARBON_DIOXIDE_PER_OXYGEN = CARBON_DIOXIDE / OXYGEN_GAS


@public(returns="g/day", sources=("TimmonsEbeling2013", "KindschiKoby1994"))
def oxygen_consumption(
    feed: Annotated[Amount, WASTE_RATES],
    oxygen_per_feed: Annotated[Number | None, Range(0, 2)] = None,
) -> Number:
    """Return the oxygen that fish breathe for a day's food, in g/day.

    A quarter of the food's weight goes in oxygen for the fish alone; the filter wants its own.

    Equation: O = 0.25 F, with feed F.

    oxygen_per_feed: None takes `oxygen_per_feed` of `data/parameters.csv`.
    Source: from memory of TimmonsEbeling2013; KindschiKoby1994 (abstract) measured 0.274 ± 0.032
        on trout of 40 g.
    Validity: daily mean of young fish that grow, the fish alone; it peaks after a meal. Fish
        that burn most of what they eat breathe up to 0.7, see the row.

    >>> oxygen_consumption(Q(10, "g/day")).round(2)
    <Quantity(2.5, 'gram / day')>
    """
    return or_row(oxygen_per_feed, "oxygen_per_feed") * feed


@public(returns="g/day", sources=("IUPACAtomicWeights",))
def carbon_dioxide_production(
    oxygen: Annotated[Amount, WASTE_RATES],
    respiratory_quotient: Annotated[Number | None, Range(0.5, 1.5)] = None,
) -> Number:
    """Return the carbon dioxide breathed out for the oxygen used, in g/day.

    It weighs more than the oxygen taken in, and pulls the pH down unless the surface moves.

    Equation: C = 1.3754 q O, with q the moles of CO2 given off per mole of O2 used.

    oxygen: As given by `oxygen_consumption`.
    respiratory_quotient: None takes `respiratory_quotient` of `data/parameters.csv`.
    Source: IUPACAtomicWeights for 44.009 / 31.998; the quotient 1 is assumed.
    Validity: breathing animals and bacteria; nitrifying bacteria use oxygen without giving off
        carbon dioxide.
    Departures: the rule 1.375 is 44 / 32.

    >>> carbon_dioxide_production(Q(2.5, "g/day")).round(3)
    <Quantity(3.438, 'gram / day')>
    """
    return CARBON_DIOXIDE_PER_OXYGEN * or_row(respiratory_quotient, "respiratory_quotient") * oxygen


@public(returns="g/day", sources=("TimmonsEbeling2013", "SolidsReview"))
def solids_production(
    feed: Annotated[Amount, WASTE_RATES],
    solids_per_feed: Annotated[Number | None, Range(0, 1)] = None,
) -> Number:
    """Return the dry solids that a day's food leaves in the water, in g/day.

    About a quarter of the food comes out as dirt for the filter to catch, or more: it hangs on
    the fish and on what is in the food.

    Equation: S = 0.25 F, with feed F.

    solids_per_feed: None takes `solids_per_feed` of `data/parameters.csv`.
    Returns: Dry weight.
    Source: from memory of TimmonsEbeling2013; SolidsReview (abstract, second-hand) has 0.3 to 0.4
        for salmon and 0.2 to 0.7 for catfish, faeces alone.
    Validity: faeces and a little uneaten food; overfeeding adds to it gram for gram.

    >>> solids_production(Q(10, "g/day")).round(2)
    <Quantity(2.5, 'gram / day')>
    """
    return or_row(solids_per_feed, "solids_per_feed") * feed


class PhosphorusLoad(NamedTuple):
    """The same phosphorus, weighed as P and as phosphate."""

    phosphorus: Any
    phosphate: Any


@public(
    returns=dict.fromkeys(PhosphorusLoad._fields, "g/day"),
    sources=("SarkerEtAl2009", "SyandriEtAl2021", "KetolaRichmond1994", "IUPACAtomicWeights"),
)
def phosphorus_production(
    feed: Annotated[Amount, WASTE_RATES],
    phosphorus_share: Annotated[Number | None, Range(0, 0.1)] = None,
    retained: Annotated[Number | None, Range(0, 1)] = None,
) -> PhosphorusLoad:
    """Return the phosphorus that a day's food brings into the water, in g/day.

    Nothing in a filter takes phosphorus away for good: it leaves with plants, with dirt that is
    rinsed out, with a binder, or with the water that is changed.

    Equation: P = p F (1 - a), with feed F, its share p of phosphorus and the share a that the
    fish keep; as phosphate (PO4) it weighs 3.0662 times as much.

    phosphorus_share: None takes `feed_phosphorus` of `data/parameters.csv`.
    retained: None takes `phosphorus_retained` of `data/parameters.csv`; 0 for fish that do not
        grow.
    Returns: phosphorus (as P); phosphate (the same, as PO4).
    Source: SarkerEtAl2009 for 1.3 % in food; SyandriEtAl2021 for 39 % kept (farmed gourami);
        KetolaRichmond1994 for both ends; IUPACAtomicWeights for 94.970 / 30.974.
    Validity: all that is not kept, dissolved and in dirt together; only a part shows on a test.
        Numbers are from farms; foods for aquaria were not found.

    >>> phosphorus_production(Q(4, "g/day")).phosphate.to("mg/day").round(0)
    <Quantity(97.0, 'milligram / day')>
    """
    phosphorus_share = or_row(phosphorus_share, "feed_phosphorus")
    retained = or_row(retained, "phosphorus_retained")
    phosphorus = phosphorus_share * feed * (1.0 - retained)
    return PhosphorusLoad(phosphorus, PHOSPHATE / PHOSPHORUS * phosphorus)
