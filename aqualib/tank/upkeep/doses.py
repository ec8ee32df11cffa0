"""Doses by weight: salt for a water change, and ammonia for a filter that matures without fish."""

from __future__ import annotations

from typing import Annotated

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range
from aqualib.water.molar_masses import AMMONIA, AMMONIUM_CHLORIDE, NITROGEN
from aqualib.water.properties import SALINITIES, SALT_PER_SALINITY, TEMPERATURES, density

DOSED_VOLUMES = Range(0, 100000, "L")
RISE = Range(0, 20, "mg/L")


@public(returns="kg", sources=("MilleroPoisson1981", "TEOS10"))
def salt_for_change(
    volume: Annotated[Amount, DOSED_VOLUMES],
    salinity: Annotated[Number, SALINITIES],
    water_in_mix: Annotated[Number | None, Range(0, 0.5)] = None,
    temperature: Annotated[Amount, TEMPERATURES] = ZERO_CELSIUS + 25.0,
) -> Number:
    """Return the salt mix to weigh out for new salt water, in kg.

    Dry-looking salt holds water in its crystals, so weigh a little more than the salt wanted, mix
    it outside the tank, and measure before use.

    Equation: m = 0.001 x 1.004715 S rho(S, t) V / (1 - w).

    volume: V, salt water when it is ready.
    salinity: S, practical salinity; 1.004715 S is grams of salt per kilogram.
    water_in_mix: w, the share of the mix that is water; None takes `salt_mix_water` of
        data/parameters.csv.
    temperature: t, for the density rho.
    Returns: Salt mix as it comes out of the bag.
    Source: MilleroPoisson1981 (density), TEOS10 (grams per kilogram of salinity 35).
    Validity: a mix with the make-up of sea salt; w is assumed, since it is seldom printed.

    >>> salt_for_change(Q(20, "L"), 35, water_in_mix=0).round(3)
    <Quantity(0.72, 'kilogram')>
    """
    water = or_row(water_in_mix, "salt_mix_water")
    share = 1e-3 * SALT_PER_SALINITY * salinity
    return share * density.bare(temperature, salinity) * volume / (1.0 - water)


@public(returns="g", sources=("IUPACAtomicWeights",))
def ammonium_chloride_dose(
    volume: Annotated[Amount, DOSED_VOLUMES],
    rise: Annotated[Amount, RISE],
) -> Number:
    """Return the ammonium chloride that raises total ammonia by the amount asked, in grams.

    It feeds a filter that matures without fish. Never dose a tank that holds animals.

    Equation: m = 53.489 / 14.007 x rise x V = 3.8187 x rise x V.

    volume: V, water in the system, without rock and gravel.
    rise: Total ammonia, as nitrogen.
    Returns: Ammonium chloride (NH4Cl).
    Source: IUPACAtomicWeights (abridged atomic weights).
    Validity: pure, dry ammonium chloride, all of it dissolved.
    Departures: none. If your test counts ammonia as NH4 or NH3, turn the rise into nitrogen
        first.

    >>> ammonium_chloride_dose(Q(100, "L"), Q(2, "mg/L")).round(3)
    <Quantity(0.764, 'gram')>
    """
    return AMMONIUM_CHLORIDE / NITROGEN * rise * volume


@public(returns="mL", sources=("IUPACAtomicWeights",))
def ammonia_solution_dose(
    volume: Annotated[Amount, DOSED_VOLUMES],
    rise: Annotated[Amount, RISE],
    strength: Annotated[Number, Range(0.005, 0.35)],
    solution_density: Annotated[Amount | None, Range(0.85, 1, "kg/L")] = None,
) -> Number:
    """Return the ammonia solution that raises total ammonia by the amount asked, in mL.

    Only plain ammonia in water will do, without soap or scent. It burns eyes and lungs and must
    never meet bleach: wear gloves and glasses, work in fresh air, follow the label.

    Equation: v = 17.031 / 14.007 x rise x V / (s rho).

    volume: V, water in the system, without rock and gravel.
    rise: Total ammonia, as nitrogen.
    strength: s, ammonia (NH3) in the solution by weight, as on its label.
    solution_density: rho; None takes `ammonia_solution_density` of data/parameters.csv, that of
        a 10 % solution.
    Returns: Ammonia solution.
    Source: IUPACAtomicWeights (abridged atomic weights); the density is from memory.
    Validity: a solution of known strength; an open bottle loses ammonia. Raises the pH as well.

    >>> ammonia_solution_dose(Q(100, "L"), Q(2, "mg/L"), 0.10, Q(0.96, "kg/L")).round(2)
    <Quantity(2.53, 'milliliter')>
    """
    solution_density = or_row(solution_density, "ammonia_solution_density")
    return AMMONIA / NITROGEN * rise * volume / (strength * solution_density)
