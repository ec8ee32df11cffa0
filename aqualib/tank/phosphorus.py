"""What of the food's phosphorus comes into the water, and as how much phosphate a test shows it."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from aqualib.edge import Amount, Number, Range, public
from aqualib.parameters import or_row
from aqualib.tank.wastes import RATE
from aqualib.water.molar_masses import PHOSPHATE, PHOSPHORUS


class PhosphorusLoad(NamedTuple):
    """The same phosphorus, weighed as P and as phosphate."""

    phosphorus: Any
    phosphate: Any


@public(
    returns=dict.fromkeys(PhosphorusLoad._fields, "g/day"),
    sources=("SarkerEtAl2009", "SyandriEtAl2021", "KetolaRichmond1994", "IUPACAtomicWeights"),
)
def phosphorus_production(
    feed: Annotated[Amount, RATE],
    phosphorus_share: Annotated[Number, Range(0, 0.1)] = None,
    retained: Annotated[Number, Range(0, 1)] = None,
) -> Any:
    """Return the phosphorus that a day's food brings into the water, in g/day.

    Nothing in a filter takes phosphorus away for good: it leaves with plants, with dirt that is
    rinsed out, with a binder, or with the water that is changed.

    Equation: P = p F (1 - a), with feed F, its share p of phosphorus and the share a that the
    fish keep; as phosphate (PO4) it weighs 3.0662 times as much.

    Parameters
    ----------
    feed : quantity, 0 to 1e+06 g/day
    phosphorus_share : plain number, 0 to 0.1
        None takes `feed_phosphorus` of `data/parameters.csv`.
    retained : plain number, 0 to 1
        None takes `phosphorus_retained` of `data/parameters.csv`; 0 for fish that do not grow.

    Returns
    -------
    PhosphorusLoad of quantities in g/day
        phosphorus (as P); phosphate (the same, as PO4).

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit.

    Notes
    -----
    Source: SarkerEtAl2009 for 1.3 % in food; SyandriEtAl2021 for 39 % kept (farmed gourami);
    KetolaRichmond1994 for both ends; IUPACAtomicWeights for 94.970 / 30.974.
    Validity: all that is not kept, dissolved and in dirt together; only a part shows on a test.
    Numbers are from farms; foods for aquaria were not found.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> phosphorus_production(Q(4, "g/day")).phosphate.to("mg/day").round(0)
    <Quantity(97.0, 'milligram / day')>
    """
    phosphorus_share = or_row(phosphorus_share, "feed_phosphorus")
    retained = or_row(retained, "phosphorus_retained")
    phosphorus = phosphorus_share * feed * (1.0 - retained)
    return PhosphorusLoad(phosphorus, PHOSPHATE / PHOSPHORUS * phosphorus)
