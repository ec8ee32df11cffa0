"""Light and heavy stock, fresh and marine: named starting points, to be changed."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from aqualib.edge import Amount, OneOf, Range, public
from aqualib.parameters import parameter

# name -> rows of the stock, of one fish and of the ration; no row is no food
STOCKS = {
    "light fresh": ("light_fresh_stock", "fresh_fish", "ration_holding"),
    "heavy fresh": ("heavy_fresh_stock", "fresh_fish", "ration_growing"),
    "light marine": ("light_marine_stock", "marine_fish", "ration_holding"),
    "heavy marine": ("heavy_marine_stock", "marine_fish", "ration_growing"),
    "fasting fresh": ("light_fresh_stock", "fresh_fish", ""),
    "fasting marine": ("light_marine_stock", "marine_fish", ""),
}
KINDS = tuple(STOCKS)


class Stocking(NamedTuple):
    """All fish together, one fish, and the food over what just holds their weight."""

    stock_mass: Any
    body_mass: Any
    ration: Any


@public(
    returns={"stock_mass": "g", "body_mass": "g", "ration": ""},
    sources=("NatarajanEtAl2009",),
)
def stocking(
    volume: Annotated[Amount, Range(0.1, 1e6, "L")],
    kind: Annotated[str, OneOf(KINDS)],
) -> Any:
    """Return a named stock for a tank: fish in g, one fish in g, and their ration.

    These are examples to start from and no advice: how many animals a tank may hold depends on
    their kind, their room and the law, not on grams alone.

    Equation: M = s V, with s grams of fish in each litre (rows `light_fresh_stock` and the like).

    Parameters
    ----------
    volume : quantity, 0.1 to 1e+06 L
        The water that is really there.
    kind : "light fresh" or "heavy fresh" or "light marine" or "heavy marine" or "fasting fresh" \
or "fasting marine"

    Returns
    -------
    Stocking of quantities in g, and a plain number
        stock_mass (all fish); body_mass (one fish); ration (plain number, for `daily_feed`).

    Raises
    ------
    ValidityError
        If a value is out of range or has the wrong unit, or the kind is not known.

    Notes
    -----
    Source: NatarajanEtAl2009 for 0.92 g/L, heavy marine; the others are assumed.
    Validity: tanks that a home or a school keeps; farms hold ten times as much and more.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> stocking(Q(200, "L"), "heavy fresh").stock_mass
    <Quantity(600.0, 'gram')>
    """
    stock, body, ration = STOCKS[kind]
    share = parameter(ration).bare if ration else 0.0
    # One fish and its ration do not depend on the volume, but come in its shape.
    per_volume = 0.0 * volume
    return Stocking(
        parameter(stock).bare * volume,
        parameter(body).bare + per_volume,
        share + per_volume,
    )
