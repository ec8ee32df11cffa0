"""Head: a pressure loss told as the height of water that would make up for it."""

from __future__ import annotations

from typing import Annotated

from aqualib.edge import public
from aqualib.units import SECONDS_PER_DAY, Amount, Number
from aqualib.validity import Range
from aqualib.water.properties import SALINITIES, TEMPERATURES, density

GRAVITY = 9.80665
"""Standard acceleration of gravity in m/s² (NISTSP811)."""


@public(returns="m", sources=("NISTSP811",))
def pressure_as_head(
    pressure: Annotated[Amount, Range(0, 1e6, "Pa")],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the height of water whose weight makes this pressure, in m.

    Pumps are sold by the height to which they lift water; 98 Pa is one centimetre of it.

    Equation: h = ΔP / (ρ g), with g = 9.80665 m/s².

    Returns: Of the water itself.
    Source: NISTSP811 (standard gravity).
    Validity: any pressure.

    >>> pressure_as_head(Q(98, "Pa"), Q(20, "degC")).to("mm").round(2)
    <Quantity(10.01, 'millimeter')>
    """
    return pressure / (density.bare(temperature, salinity) * GRAVITY)


@public(returns="W", sources=("NISTSP811",))
def hydraulic_power(
    flow: Annotated[Amount, Range(0, 1e6, "L/h")],
    head: Annotated[Amount, Range(0, 200, "m")],
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the power that the water itself receives, in W.

    A small pump turns only 5 to 25 % (from memory) of its electricity into this; the rest is heat,
    most of it in the tank.

    Equation: P = ρ g Q h.

    Source: NISTSP811 (standard gravity).
    Validity: any flow; never use it in place of the watts on the pump's label.

    >>> hydraulic_power(Q(1000, "L/h"), Q(1, "m"), Q(20, "degC")).round(2)
    <Quantity(2.72, 'watt')>
    """
    return density.bare(temperature, salinity) * GRAVITY * flow * head


@public(returns="kWh", sources=())
def energy_per_year(power: Annotated[Amount, Range(0, 1e5, "W")]) -> Number:
    """Return the electricity used in a year of 365 days without a break, in kWh.

    A filter never rests: each watt on the label is nearly nine kilowatt-hours a year.

    Equation: E = P x 8760 h.

    power: Electric power, as on the label of the pump.
    Source: arithmetic.
    Validity: any power.
    Departures: a leap year is not counted.

    >>> energy_per_year(Q(20, "W")).round(1)
    <Quantity(175.2, 'kilowatt_hour')>
    """
    return power * 365.0 * SECONDS_PER_DAY


@public(returns="", sources=())
def cost_per_year(
    power: Annotated[Amount, Range(0, 1e5, "W")],
    price: Annotated[Number, Range(0, 1000)],
) -> Number:
    """Return what a year of electricity costs, as a plain number in the money of the price.

    Compare it with the price of the pump: the thriftier pump is often the cheaper one.

    Equation: cost = E p, with E in kWh from `energy_per_year` and p the price of one kWh.

    power: Electric power, as on the label of the pump.
    price: Money for one kWh, in any currency.
    Returns: In the money of `price`.
    Source: arithmetic.
    Validity: a pump that never stops and a price that stays.

    >>> round(cost_per_year(Q(20, "W"), 0.3), 2)
    52.56
    """
    return energy_per_year.bare(power) / 3.6e6 * price
