"""How fast nitrifying bacteria grow, and what slows them."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.filtration.biofilm import still_warms
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range

GROWTH_RATES = Range(1e-3, 10, "1/day")
SUBSTRATE_LEVELS = Range(0, 1000, "mg/L")
HALF_SATURATIONS = Range(1e-7, 1000, "mg/L")
GROWTH_TEMPERATURE = ZERO_CELSIUS + 20.0
"""The temperature of the growth rates in the sources."""


@public(returns="", sources=("AnthonisenEtAl1976", "WeakAcidTable"))
def nitrous_acid_fraction(
    ph: Annotated[Number, Range(4, 10)],
    temperature: Annotated[Amount, Range(0, 40, "degC")],
) -> Number:
    """Return the share of nitrite that is nitrous acid (HNO2), as a plain fraction 0 to 1.

    It is tiny in any tank, but some models let nitrite oxidisers feed on it, and all let it slow
    bacteria down in sour water.

    Equation: f = 1 / (1 + 10^pH K), with K = exp(-2300 / T) and T in kelvin.

    Returns: Mole fraction HNO2 / (HNO2 + NO2-), the same for mg N per litre.
    Source: AnthonisenEtAl1976 for K, from memory; WeakAcidTable has 4.6e-4 at 25 degC, which
        gives 3 % less.
    Validity: fresh water; salt changes K a little, which is left out.

    >>> nitrous_acid_fraction(7.5, Q(20, "degC")).__format__(".2e")
    '8.08e-05'
    """
    return 1.0 / (1.0 + 10.0**ph * np.exp(-2300.0 / temperature))


@public(returns="1/day", sources=("HenzeEtAl1987",))
def growth_at_temperature(
    growth_at_20: Annotated[Amount, GROWTH_RATES],
    warming: Annotated[Number, Range(1, 1.2)],
    temperature: Annotated[Amount, Range(4, 34, "degC")],
) -> Number:
    """Return how fast bacteria grow at a temperature, per day.

    Ten degrees colder, ammonia oxidisers grow less than half as fast, and a filter takes more
    than twice as long to mature.

    Equation: mu = mu20 theta^(t - 20), with t in degrees Celsius; above 30 °C, t is 30.

    warming: The factor theta for one degree.
    Source: HenzeEtAl1987 for ammonia oxidisers: 0.3 at 10 and 0.8 at 20 °C, so theta is 1.103.
    Validity: up to about 30 °C, beyond which growth falls again: no gain is taken there.

    >>> growth_at_temperature(Q(0.8, "1/day"), 1.103, Q(25, "degC")).round(3)
    <Quantity(1.306, '1 / day')>
    """
    return growth_at_20 * warming ** (still_warms(temperature) - GROWTH_TEMPERATURE)


@public(returns="1/day", sources=("HenzeEtAl1987",))
def monod_growth(
    fastest: Annotated[Amount, GROWTH_RATES],
    substrate: Annotated[Amount, SUBSTRATE_LEVELS],
    half_saturation: Annotated[Amount, HALF_SATURATIONS],
    oxygen: Annotated[Amount, SUBSTRATE_LEVELS],
    oxygen_half_saturation: Annotated[Amount, HALF_SATURATIONS],
) -> Number:
    """Return how fast bacteria grow with little food or oxygen, per day.

    At the half-saturation they grow half as fast as they could; ten times as much food does not
    make them ten times as fast.

    Equation: mu = mu_max S / (K + S) O / (K_O + O).

    substrate: As nitrogen.
    half_saturation: As nitrogen.
    Source: HenzeEtAl1987, form of the equation (code transcription read).
    Validity: nothing that slows them but food and oxygen; see `share_of_growth`.

    >>> mg = [Q(value, "mg/L") for value in (2, 1, 5, 0.4)]
    >>> monod_growth(Q(0.8, "1/day"), *mg).round(4)
    <Quantity(0.4938, '1 / day')>
    """
    fed = substrate / (half_saturation + substrate)
    return fastest * fed * oxygen / (oxygen_half_saturation + oxygen)


@public(returns="", sources=("ParkBae2009",))
def share_of_growth(
    substrate: Annotated[Amount, SUBSTRATE_LEVELS],
    half_saturation: Annotated[Amount, HALF_SATURATIONS],
    unionised_ammonia: Annotated[Amount, SUBSTRATE_LEVELS],
    ammonia_inhibition: Annotated[Amount, HALF_SATURATIONS],
    nitrous_acid: Annotated[Amount, SUBSTRATE_LEVELS],
    acid_inhibition: Annotated[Amount, HALF_SATURATIONS],
) -> Number:
    """Return the share of full growth that food and poisons leave, as a plain fraction 0 to 1.

    Too much ammonia feeds ammonia oxidisers but holds back the nitrite oxidisers that come after
    them: a large first dose makes a tank later, not sooner.

    Equation: s = S / (K + S) x K_F / (K_F + F) x K_H / (K_H + H).

    substrate: As nitrogen. What they feed on, S: total ammonia, or nitrite.
    half_saturation: As nitrogen. K.
    unionised_ammonia: As nitrogen. F; it only slows.
    ammonia_inhibition: As nitrogen. K_F.
    nitrous_acid: As nitrogen. H; it only slows.
    acid_inhibition: As nitrogen. K_H.
    Source: ParkBae2009 for the constants (abstract read); the form is from memory.
    Validity: activated sludge; that it holds in a home filter is assumed.

    >>> mg = [Q(value, "mg/L") for value in (0.5, 0.5, 0.02, 10, 0, 0.17)]
    >>> round(share_of_growth(*mg), 3)
    0.499
    """
    fed = substrate / (half_saturation + substrate)
    left = ammonia_inhibition / (ammonia_inhibition + unionised_ammonia)
    return fed * left * acid_inhibition / (acid_inhibition + nitrous_acid)
