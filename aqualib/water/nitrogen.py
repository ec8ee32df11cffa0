"""Nitrogen: what nitrifying bacteria need and what denitrifying bacteria give back.

Each function takes an amount of nitrogen of any kind (grams, grams a day, mg/L) and answers in
the same unit: grams of oxygen for grams of nitrogen, and so on.
"""

from __future__ import annotations

from typing import Annotated, Any, TypeAlias

from aqualib.edge import SAME, public
from aqualib.parameters import or_row, parameter
from aqualib.units import Number
from aqualib.validity import AnyAmount, Range, YesNo
from aqualib.water.molar_masses import ALKALINITY, NITROGEN, OXYGEN_GAS, molar_mass

KINDS_OF_AMOUNT = ("mg/L", "g", "g/day", "g/m**2/day", "g/m**3/day")
MassOfAnyKind: TypeAlias = Annotated[Any, AnyAmount(KINDS_OF_AMOUNT)]
"""Annotation of a mass, a rate or a concentration; the function answers in the same unit."""
NITRATE_PER_NITROGEN = molar_mass(N=1, O=3) / NITROGEN
NITRITE_PER_NITROGEN = molar_mass(N=1, O=2) / NITROGEN
AMMONIUM_PER_NITROGEN = molar_mass(N=1, H=4) / NITROGEN
AMMONIA_PER_NITROGEN = molar_mass(N=1, H=3) / NITROGEN
OXYGEN_PER_MOLE = OXYGEN_GAS / NITROGEN
"""Grams of oxygen per gram of nitrogen when one mole of O2 meets one mole of nitrogen."""
ALKALINITY_PER_MOLE = ALKALINITY / NITROGEN
"""Grams of alkalinity (as CaCO3) per gram of nitrogen, for one mole of acid per mole."""
CELLS_PER_MOLE = 0.0244
"""Moles of cell substance (C5H7O2N) that grow per mole of ammonia nitrified, from memory."""


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_nitrate(nitrogen: MassOfAnyKind) -> Number:
    """Return a nitrate amount as NO3, from the nitrogen in it, in the unit given.

    Test kits mostly read nitrate as the ion: 10 mg/L of nitrate nitrogen is 44 mg/L of nitrate.

    Equation: NO3 = N x 62.004 / 14.007 = 4.4266 N.

    Returns: As NO3.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.
    Departures: none. The rule of thumb is 4.43; older atomic weights give 4.4268.

    >>> as_nitrate(Q(10, "mg/L")).round(2)
    <Quantity(44.27, 'milligram / liter')>
    """
    return NITRATE_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def nitrate_as_nitrogen(nitrate: MassOfAnyKind) -> Number:
    """Return the nitrogen in a nitrate amount that was read as NO3, in the unit given.

    A reading of 44 mg/L of nitrate is only 10 mg/L of nitrate nitrogen: ask what a limit means.

    Equation: N = NO3 x 14.007 / 62.004 = NO3 / 4.4266.

    Returns: As nitrogen.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> nitrate_as_nitrogen(Q(50, "mg/L")).round(2)
    <Quantity(11.3, 'milligram / liter')>
    """
    return nitrate / NITRATE_PER_NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_nitrite(nitrogen: MassOfAnyKind) -> Number:
    """Return a nitrite amount as NO2, from the nitrogen in it, in the unit given.

    A nitrite reading as the ion is more than three times the nitrogen in it.

    Equation: NO2 = N x 46.005 / 14.007 = 3.2844 N.

    Returns: As NO2.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> as_nitrite(Q(10, "mg/L")).round(2)
    <Quantity(32.84, 'milligram / liter')>
    """
    return NITRITE_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def nitrite_as_nitrogen(nitrite: MassOfAnyKind) -> Number:
    """Return the nitrogen in a nitrite amount that was read as NO2, in the unit given.

    Limits for fish are mostly given as nitrogen; a kit that reads the ion shows 3.3 times as much.

    Equation: N = NO2 x 14.007 / 46.005 = NO2 / 3.2844.

    Returns: As nitrogen.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> nitrite_as_nitrogen(Q(1, "mg/L")).round(4)
    <Quantity(0.3045, 'milligram / liter')>
    """
    return nitrite / NITRITE_PER_NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_ammonium(nitrogen: MassOfAnyKind) -> Number:
    """Return an ammonium amount as NH4, from the nitrogen in it, in the unit given.

    Some tests give total ammonia as the ammonium ion, 1.29 times the nitrogen in it.

    Equation: NH4 = N x 18.039 / 14.007 = 1.2879 N.

    Returns: As NH4.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> as_ammonium(Q(10, "mg/L")).round(2)
    <Quantity(12.88, 'milligram / liter')>
    """
    return AMMONIUM_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def ammonium_as_nitrogen(ammonium: MassOfAnyKind) -> Number:
    """Return the nitrogen in an ammonium amount that was read as NH4, in the unit given.

    A total-ammonia test that reads ammonium must be multiplied by 0.776 to give nitrogen.

    Equation: N = NH4 x 14.007 / 18.039 = NH4 / 1.2879.

    Returns: As nitrogen.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> ammonium_as_nitrogen(Q(1, "mg/L")).round(4)
    <Quantity(0.7765, 'milligram / liter')>
    """
    return ammonium / AMMONIUM_PER_NITROGEN


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def as_ammonia(nitrogen: MassOfAnyKind) -> Number:
    """Return an ammonia amount as NH3, from the nitrogen in it, in the unit given.

    Some tests and some limits give ammonia as the molecule NH3, 1.22 times the nitrogen in it.

    Equation: NH3 = N x 17.031 / 14.007 = 1.2159 N.

    Returns: As NH3.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> as_ammonia(Q(10, "mg/L")).round(2)
    <Quantity(12.16, 'milligram / liter')>
    """
    return AMMONIA_PER_NITROGEN * nitrogen


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def ammonia_as_nitrogen(ammonia: MassOfAnyKind) -> Number:
    """Return the nitrogen in an ammonia amount that was read as NH3, in the unit given.

    A limit printed as mg/L of NH3 must be multiplied by 0.822 before it is set beside nitrogen.

    Equation: N = NH3 x 14.007 / 17.031 = NH3 / 1.2159.

    Returns: As nitrogen.
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: any amount; it is arithmetic.

    >>> ammonia_as_nitrogen(Q(1, "mg/L")).round(4)
    <Quantity(0.8224, 'milligram / liter')>
    """
    return ammonia / AMMONIA_PER_NITROGEN


def _saved(*groups: str) -> float:
    """Return the oxygen that growth of these groups saves, over the nitrogen they oxidise.

    Cells are electrons that were not given to oxygen; a yield counts them as the oxygen they would
    still take.
    """
    return float(sum(parameter(f"{group}_oxidiser_yield").bare for group in groups))


@public(returns=SAME, sources=("EPA1993", "IUPACAtomicWeights", "HiattGrady2008"))
def oxygen_demand(nitrified: MassOfAnyKind, synthesis: Annotated[bool, YesNo()] = False) -> Number:
    """Return the oxygen used up while ammonia becomes nitrate, in the unit given.

    Every gram of ammonia nitrogen that a filter turns into nitrate costs more than four grams of
    oxygen, which the water must bring to the filter.

    Equation: NH4+ + 2 O2 -> NO3- + H2O + 2 H+, so O2 = 2 x 31.998 / 14.007 = 4.569 N. With cell
    growth, less what the cells hold: O2 = (4.569 - Y_A - Y_N) N = 4.329 N, with the yields of
    the rows `ammonia_oxidiser_yield` and `nitrite_oxidiser_yield`, cells counted as oxygen.

    nitrified: Ammonia turned into nitrate, as nitrogen.
    synthesis: True lets the bacteria grow on it; this is what filters are reckoned with.
    Returns: Oxygen (O2).
    Source: EPA1993 (4.57 without growth), IUPACAtomicWeights; HiattGrady2008 for the yields,
        read in a transcription of their table.
    Validity: any amount; what bacteria use, not what fish breathe. Cells that die are eaten, and
        give back what growth has saved: over years it comes to 4.57.
    Departures: GujerJenkins1974 and HenzeEtAl1987 have 4.32 to 4.33 with growth as well; a
        reaction remembered from EPA1993 has 4.18.

    >>> oxygen_demand(Q(10, "g/day")).round(1)
    <Quantity(45.7, 'gram / day')>
    """
    saved = _saved("ammonia", "nitrite") if synthesis else 0.0
    return (2.0 * OXYGEN_PER_MOLE - saved) * nitrified


@public(returns=SAME, sources=("EPA1993", "IUPACAtomicWeights", "HiattGrady2008"))
def ammonia_step_oxygen(
    nitrified: MassOfAnyKind, synthesis: Annotated[bool, YesNo()] = False
) -> Number:
    """Return the oxygen used up while ammonia becomes nitrite, in the unit given.

    The first group of bacteria takes three quarters of all the oxygen that nitrification needs.

    Equation: NH4+ + 1.5 O2 -> NO2- + H2O + 2 H+, so O2 = 1.5 x 31.998 / 14.007 = 3.427 N; with
    growth, less the row `ammonia_oxidiser_yield`, 3.247 N.

    nitrified: Ammonia turned into nitrite, as nitrogen.
    synthesis: True lets the bacteria grow on it, as in `oxygen_demand`.
    Returns: Oxygen (O2).
    Source: EPA1993 (4.57 and 1.14, whose difference is 3.43), IUPACAtomicWeights; HiattGrady2008
        for the yield.
    Validity: any amount; with growth GujerJenkins1974 has 3.22.
    Departures: atomic weights of IUPAC in place of whole numbers (48/14 = 3.4286).

    >>> ammonia_step_oxygen(Q(1, "g")).round(3)
    <Quantity(3.427, 'gram')>
    """
    saved = _saved("ammonia") if synthesis else 0.0
    return (1.5 * OXYGEN_PER_MOLE - saved) * nitrified


@public(returns=SAME, sources=("EPA1993", "IUPACAtomicWeights", "HiattGrady2008"))
def nitrite_step_oxygen(
    nitrified: MassOfAnyKind, synthesis: Annotated[bool, YesNo()] = False
) -> Number:
    """Return the oxygen used up while nitrite becomes nitrate, in the unit given.

    The second group of bacteria gets about a quarter of the energy, one reason why it grows later
    and nitrite peaks in a new tank.

    Equation: NO2- + 0.5 O2 -> NO3-, so O2 = 0.5 x 31.998 / 14.007 = 1.142 N; with growth, less
    the row `nitrite_oxidiser_yield`, 1.082 N.

    nitrified: Nitrite turned into nitrate, as nitrogen.
    synthesis: True lets the bacteria grow on it, as in `oxygen_demand`.
    Returns: Oxygen (O2).
    Source: EPA1993 (1.14), IUPACAtomicWeights; HiattGrady2008 for the yield.
    Validity: any amount; with growth GujerJenkins1974 has 1.11.
    Departures: atomic weights of IUPAC in place of whole numbers (16/14 = 1.1429).

    >>> nitrite_step_oxygen(Q(1, "g")).round(3)
    <Quantity(1.142, 'gram')>
    """
    saved = _saved("nitrite") if synthesis else 0.0
    return (0.5 * OXYGEN_PER_MOLE - saved) * nitrified


@public(returns=SAME, sources=("EPA1993", "IUPACAtomicWeights"))
def alkalinity_demand(
    nitrified: MassOfAnyKind, synthesis: Annotated[bool, YesNo()] = False
) -> Number:
    """Return the alkalinity used up while ammonia becomes nitrate, as CaCO3 in the unit given.

    Nitrification makes acid: each gram of ammonia nitrogen uses up 7.1 g of alkalinity, and a
    tank that is not topped up with it slowly turns sour.

    Equation: NH4+ + 2 O2 -> NO3- + H2O + 2 H+, two moles of acid per mole of nitrogen, so
    alkalinity = 2 x 50.043 / 14.007 = 7.145 N. With cell growth, (2 - y) x 50.043 / 14.007 =
    7.058 N with y = 0.0244: nitrogen built into cells gives off one mole of acid, not two.

    nitrified: Ammonia turned into nitrate, as nitrogen.
    synthesis: True lets a part of the ammonia be built into new bacteria.
    Returns: Alkalinity as CaCO3 (times 1.6786 for NaHCO3).
    Source: EPA1993 (two moles of acid), IUPACAtomicWeights; y from memory of the same manual.
    Validity: any amount. EPA1975 reports 6.3 to 7.4 measured in filters.
    Departures: texts have 7.14 (100/14) and, with growth, 7.05; the reaction as we remember it
        printed (1.97 HCO3-) gives 7.04, because its rounded charges miss by 0.006.

    >>> alkalinity_demand(Q(10, "mg/L")).round(2)
    <Quantity(71.45, 'milligram / liter')>
    """
    moles = 2.0 - CELLS_PER_MOLE if synthesis else 2.0
    return moles * ALKALINITY_PER_MOLE * nitrified


@public(returns=SAME, sources=("IUPACAtomicWeights", "MetcalfEddy", "HenzeEtAl1987"))
def denitrification_carbon_demand(
    nitrate_nitrogen: MassOfAnyKind,
    biomass_yield: Annotated[Number | None, Range(0, 0.9)] = None,
) -> Number:
    """Return the organic matter used up while nitrate becomes nitrogen gas, in the unit given.

    Bacteria breathe nitrate only where oxygen is absent and only if they are fed: without this
    much food for them, a filter cannot remove nitrate, however deep its pores.

    Equation: COD = 1.25 x 31.998 / 14.007 x N / (1 - Y) = 2.856 N / (1 - Y). One mole of nitrate
    takes as many electrons as 1.25 moles of O2; the share Y of the food becomes new cells.

    nitrate_nitrogen: Nitrate turned into nitrogen gas, as nitrogen.
    biomass_yield: Share of the organic matter (as oxygen demand) that becomes cells; left out,
        the row `denitrifier_yield` of data/parameters.csv.
    Returns: Organic matter as chemical oxygen demand (COD).
    Raises: has no unit, or has a unit of another kind.
    Source: the electron balance with IUPACAtomicWeights; the form 2.86 / (1 - Y) in
        MetcalfEddy, Y in HenzeEtAl1987.
    Validity: water without oxygen; oxygen is breathed first and its share of the food is extra.
    Departures: atomic weights of IUPAC in place of whole numbers (40/14 = 2.857).

    >>> denitrification_carbon_demand(Q(1, "g"), 0.60).round(2)
    <Quantity(7.14, 'gram')>
    """
    share = or_row(biomass_yield, "denitrifier_yield")
    return 1.25 * OXYGEN_PER_MOLE * nitrate_nitrogen / (1.0 - share)


@public(returns=SAME, sources=("IUPACAtomicWeights",))
def alkalinity_returned(nitrate_nitrogen: MassOfAnyKind) -> Number:
    """Return the alkalinity given back while nitrate becomes gas, as CaCO3 in the unit given.

    Removing nitrate biologically gives back half of the alkalinity that making it used up.

    Equation: NO3- + H+ + 5 (H) -> 0.5 N2 + 3 H2O takes up one mole of acid per mole of nitrate, so
    alkalinity = 50.043 / 14.007 = 3.573 N.

    nitrate_nitrogen: Nitrate turned into nitrogen gas, as nitrogen.
    Returns: Alkalinity as CaCO3.
    Source: the charge balance, with IUPACAtomicWeights.
    Validity: an upper end; about 3.0 is what treatment plants count on.
    Departures: texts round to 3.57.

    >>> alkalinity_returned(Q(10, "g")).round(1)
    <Quantity(35.7, 'gram')>
    """
    return ALKALINITY_PER_MOLE * nitrate_nitrogen
