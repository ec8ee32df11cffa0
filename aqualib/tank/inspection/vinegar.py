"""The vinegar test: a chip that fizzes is carbonate, and what it loses tells how much of it is."""

from __future__ import annotations

from typing import Annotated

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.molar_masses import ALKALINITY, CARBON_DIOXIDE, molar_mass

CARBONATE = 2.0 * ALKALINITY
"""Grams of calcium carbonate to a mole."""
ACETIC_ACID = molar_mass(C=2, H=4, O=2)
VINEGAR_DENSITY = 1000.0
"""kg/m³: vinegar is nearly all water."""
CHIPS = Range(0, 1e4, "g")


@public(returns="g", sources=("IUPACAtomicWeights",))
def carbonate_from_fizz(lost: Annotated[Amount, CHIPS]) -> Number:
    """Return the calcium carbonate in a chip, in g, from the weight of the gas that fizzed away.

    Weigh glass, vinegar and chip before and an hour after: what is missing is gas.

    Equation: CaCO3 + 2 CH3COOH → Ca2+ + 2 CH3COO- + H2O + CO2, so m = g M(CaCO3) / M(CO2).

    lost: Of glass, vinegar and chip together.
    Source: IUPACAtomicWeights.
    Validity: vinegar left over at the end, and water that dries away meanwhile weighed beside it;
        some of the gas stays dissolved, so the true amount is a little more.

    >>> carbonate_from_fizz(Q(0.44, "g")).round(2)
    <Quantity(1.0, 'gram')>
    """
    return lost * CARBONATE / CARBON_DIOXIDE


@public(returns="mL", sources=("IUPACAtomicWeights",))
def vinegar_for_carbonate(
    carbonate: Annotated[Amount, CHIPS],
    strength: Annotated[Amount | None, Range(1, 25, "percent")] = None,
) -> Number:
    """Return the household vinegar that this much calcium carbonate uses up, in mL.

    A thumbnail of rock needs a whole glass of it; with less the fizz stops too early.

    Equation: V = 2 m M(CH3COOH) / (M(CaCO3) s ρ).

    strength: s, acetic acid by mass; left out, the row `vinegar_strength`.
    Source: IUPACAtomicWeights; the density is that of water.
    Validity: household vinegar, not the stronger acid for cleaning.

    >>> vinegar_for_carbonate(Q(1, "g")).round(0)
    <Quantity(24.0, 'milliliter')>
    """
    acid = 2.0 * ACETIC_ACID / CARBONATE * carbonate
    return acid / (or_row(strength, "vinegar_strength") * VINEGAR_DENSITY)
