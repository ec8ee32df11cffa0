"""One nitrogen, several names: readings as nitrogen and as the whole ion or molecule.

A test that says "nitrate" may mean the nitrate ion or the nitrogen in it; the two numbers differ
more than fourfold for the same water. Every function here takes an amount of any kind (a mass, a
rate, a concentration) and gives it back in the same unit.
"""

from __future__ import annotations

from typing import Annotated, Any, TypeAlias

from aqualib.edge import SAME, AnyAmount, public
from aqualib.water.molar_masses import NITROGEN, molar_mass

KINDS_OF_AMOUNT = ("mg/L", "g", "g/day", "g/m**2/day", "g/m**3/day")
MassOfAnyKind: TypeAlias = Annotated[Any, AnyAmount(KINDS_OF_AMOUNT)]
"""Annotation of a mass, a rate or a concentration; the function answers in the same unit."""

NITRATE_PER_NITROGEN = molar_mass(N=1, O=3) / NITROGEN
NITRITE_PER_NITROGEN = molar_mass(N=1, O=2) / NITROGEN
AMMONIUM_PER_NITROGEN = molar_mass(N=1, H=4) / NITROGEN
AMMONIA_PER_NITROGEN = molar_mass(N=1, H=3) / NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_nitrate(nitrogen: MassOfAnyKind) -> Any:
    """Return a nitrate amount as NO3, from the nitrogen in it, in the unit given.

    Test kits mostly read nitrate as the ion: 10 mg/L of nitrate nitrogen is 44 mg/L of nitrate.

    Equation: NO3 = N x 62.004 / 14.007 = 4.4266 N.

    Parameters
    ----------
    nitrogen : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `nitrogen`, as NO3

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none. The rule of thumb is 4.43; older atomic weights give 4.4268.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> as_nitrate(Q(10, "mg/L")).round(2)
    <Quantity(44.27, 'milligram / liter')>
    """
    return NITRATE_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def nitrate_as_nitrogen(nitrate: MassOfAnyKind) -> Any:
    """Return the nitrogen in a nitrate amount that was read as NO3, in the unit given.

    A reading of 44 mg/L of nitrate is only 10 mg/L of nitrate nitrogen: ask what a limit means.

    Equation: N = NO3 x 14.007 / 62.004 = NO3 / 4.4266.

    Parameters
    ----------
    nitrate : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `nitrate`, as nitrogen

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> nitrate_as_nitrogen(Q(50, "mg/L")).round(2)
    <Quantity(11.3, 'milligram / liter')>
    """
    return nitrate / NITRATE_PER_NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_nitrite(nitrogen: MassOfAnyKind) -> Any:
    """Return a nitrite amount as NO2, from the nitrogen in it, in the unit given.

    A nitrite reading as the ion is more than three times the nitrogen in it.

    Equation: NO2 = N x 46.005 / 14.007 = 3.2844 N.

    Parameters
    ----------
    nitrogen : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `nitrogen`, as NO2

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> as_nitrite(Q(10, "mg/L")).round(2)
    <Quantity(32.84, 'milligram / liter')>
    """
    return NITRITE_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def nitrite_as_nitrogen(nitrite: MassOfAnyKind) -> Any:
    """Return the nitrogen in a nitrite amount that was read as NO2, in the unit given.

    Limits for fish are mostly given as nitrogen; a kit that reads the ion shows 3.3 times as much.

    Equation: N = NO2 x 14.007 / 46.005 = NO2 / 3.2844.

    Parameters
    ----------
    nitrite : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `nitrite`, as nitrogen

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> nitrite_as_nitrogen(Q(1, "mg/L")).round(4)
    <Quantity(0.3045, 'milligram / liter')>
    """
    return nitrite / NITRITE_PER_NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_ammonium(nitrogen: MassOfAnyKind) -> Any:
    """Return an ammonium amount as NH4, from the nitrogen in it, in the unit given.

    Some tests give total ammonia as the ammonium ion, 1.29 times the nitrogen in it.

    Equation: NH4 = N x 18.039 / 14.007 = 1.2879 N.

    Parameters
    ----------
    nitrogen : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `nitrogen`, as NH4

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> as_ammonium(Q(10, "mg/L")).round(2)
    <Quantity(12.88, 'milligram / liter')>
    """
    return AMMONIUM_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def ammonium_as_nitrogen(ammonium: MassOfAnyKind) -> Any:
    """Return the nitrogen in an ammonium amount that was read as NH4, in the unit given.

    A total-ammonia test that reads ammonium must be multiplied by 0.776 to give nitrogen.

    Equation: N = NH4 x 14.007 / 18.039 = NH4 / 1.2879.

    Parameters
    ----------
    ammonium : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `ammonium`, as nitrogen

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> ammonium_as_nitrogen(Q(1, "mg/L")).round(4)
    <Quantity(0.7765, 'milligram / liter')>
    """
    return ammonium / AMMONIUM_PER_NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_ammonia(nitrogen: MassOfAnyKind) -> Any:
    """Return an ammonia amount as NH3, from the nitrogen in it, in the unit given.

    Some tests and some limits give ammonia as the molecule NH3, 1.22 times the nitrogen in it.

    Equation: NH3 = N x 17.031 / 14.007 = 1.2159 N.

    Parameters
    ----------
    nitrogen : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `nitrogen`, as NH3

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> as_ammonia(Q(10, "mg/L")).round(2)
    <Quantity(12.16, 'milligram / liter')>
    """
    return AMMONIA_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def ammonia_as_nitrogen(ammonia: MassOfAnyKind) -> Any:
    """Return the nitrogen in an ammonia amount that was read as NH3, in the unit given.

    A limit printed as mg/L of NH3 must be multiplied by 0.822 before it is set beside nitrogen.

    Equation: N = NH3 x 14.007 / 17.031 = NH3 / 1.2159.

    Parameters
    ----------
    ammonia : quantity, 0 or more in mg/L or g or g/day or g/m**2/day or g/m**3/day

    Returns
    -------
    quantity in the unit of `ammonia`, as nitrogen

    Raises
    ------
    ValidityError
        If the amount is negative, has no unit, or has a unit of another kind.

    Notes
    -----
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> ammonia_as_nitrogen(Q(1, "mg/L")).round(4)
    <Quantity(0.8224, 'milligram / liter')>
    """
    return ammonia / AMMONIA_PER_NITROGEN
