"""Alkalinity: the water's store of acid-binding power, its units, and how to raise it."""

from __future__ import annotations

from typing import Annotated

from aqualib.edge import public
from aqualib.units import Amount, Number
from aqualib.validity import Range
from aqualib.water.molar_masses import ALKALINITY, SODIUM_BICARBONATE

MOLES_PER_KILOGRAM = 1000.0 / ALKALINITY
"""Moles of acid that one kilogram of alkalinity, as CaCO3, takes up."""


@public(returns="mmol/L", sources=("IUPACAtomicWeights",))
def alkalinity_as_milliequivalents(
    alkalinity: Annotated[Amount, Range(0, 1000, "mg/L")],
) -> Number:
    """Return an alkalinity in milliequivalents per litre, from mg/L as CaCO3 or degrees.

    Sea-water books and some test kits count alkalinity this way; 2.8 degrees (dKH) or 50 mg/L
    make one milliequivalent per litre.

    Equation: A / (100.086 / 2), since calcium carbonate takes up two moles of acid per mole.

    alkalinity: As CaCO3; Q(5, "dKH") is accepted too.
    Returns: Millimoles of acid taken up, which is what meq/L means.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any water; it is arithmetic.

    >>> alkalinity_as_milliequivalents(Q(7, "dKH")).round(2)
    <Quantity(2.5, 'millimole / liter')>
    """
    return MOLES_PER_KILOGRAM * alkalinity


@public(returns="mg/L", sources=("IUPACAtomicWeights",))
def milliequivalents_as_alkalinity(
    milliequivalents: Annotated[Amount, Range(0, 20, "mmol/L")],
) -> Number:
    """Return an alkalinity in mg/L as CaCO3, from milliequivalents per litre.

    All other functions of this package count alkalinity as CaCO3.

    Equation: A = (100.086 / 2) x milliequivalents.

    milliequivalents: Write meq/L as mmol/L.
    Returns: As CaCO3.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any water; it is arithmetic.

    >>> milliequivalents_as_alkalinity(Q(2.5, "mmol/L")).round(1)
    <Quantity(125.1, 'milligram / liter')>
    """
    return milliequivalents / MOLES_PER_KILOGRAM


@public(returns="g", sources=("IUPACAtomicWeights",))
def bicarbonate_dose(
    volume: Annotated[Amount, Range(0, 100000, "L")],
    alkalinity_rise: Annotated[Amount, Range(0, 200, "mg/L")],
) -> Number:
    """Return the sodium bicarbonate that raises the alkalinity by the amount asked, in grams.

    This is plain baking soda (not baking powder, not washing soda). Spread a large rise over
    several days: pH and ammonia's danger rise with it.

    Equation: NaHCO3 = 2 x 84.006 / 100.086 x rise x volume = 1.6787 x rise x volume.

    volume: Water in the system, without rock and gravel.
    alkalinity_rise: As CaCO3.
    Returns: Sodium bicarbonate (NaHCO3).
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: pure, dry sodium bicarbonate, all of it dissolved and none used up meanwhile.
    Departures: none. A dose printed elsewhere may be one sixth too small; compute it from the
        molar masses, as here.

    >>> bicarbonate_dose(Q(100, "L"), Q(50, "mg/L")).round(2)
    <Quantity(8.39, 'gram')>
    """
    return 1e-3 * SODIUM_BICARBONATE * MOLES_PER_KILOGRAM * alkalinity_rise * volume
