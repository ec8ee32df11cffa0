"""Oxygen: how much the water can hold, and how fast air brings it in."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range

ATMOSPHERE = 101325.0
STANDARD_TEMPERATURE = ZERO_CELSIUS + 20.0
"""The temperature at which aerators are rated."""
TEMPERATURE_FACTOR = 1.024
"""How much faster oxygen crosses into the water per degree (IS 13166:1992, ASCE 2-06)."""


@public(returns="mg/L", sources=("BensonKrause1984", "USGS2011"))
def saturation(
    temperature: Annotated[Amount, Range(0, 40, "degC", "USGS2011")],
    salinity: Annotated[Number, Range(0, 40, "", "USGS2011")] = 0.0,
    pressure: Annotated[Amount, Range(0.5, 1.1, "atm", "USGS2011")] = ATMOSPHERE,
) -> Number:
    """Return the oxygen that water holds when it is in balance with air, in mg/L.

    Warm, salty and high-lying water holds less, just when fish and filter breathe more.

    Equation: ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T² + 1.243800e10/T³ - 8.621949e11/T⁴
    - S (1.7674e-2 - 10.754/T + 2140.7/T²); at a pressure P in atm, times
    P (1 - u/P) (1 - θP) / ((1 - u) (1 - θ)), with ln u = 11.8571 - 3840.70/T - 216961/T² and
    θ = 0.000975 - 1.426e-5 t + 6.436e-8 t².

    pressure: Air pressure where the tank stands, not reduced to sea level; left out, 1 atm.
    Returns: Of dissolved oxygen.
    Source: BensonKrause1984 in the form of USGS2011.
    Validity: as the ranges above; moist air at the surface. Within 0.04 % of Garcia & Gordon
        1992. Tables from before 1980 are 1 to 2 % higher.
    Departures: u is the vapour pressure over fresh water at any salinity, as in the source.
        Misprints in circulation: 11.8751 for 11.8571, and 1.43e-5 for 1.426e-5.

    >>> saturation(Q(25, "degC")).round(2)
    <Quantity(8.26, 'milligram / liter')>
    >>> saturation(Q(25, "degC"), 35, Q(95, "kPa")).round(2)
    <Quantity(6.34, 'milligram / liter')>
    """
    inverse = 1.0 / temperature
    fresh = -139.34411 + inverse * (
        1.575701e5 + inverse * (-6.642308e7 + inverse * (1.243800e10 - inverse * 8.621949e11))
    )
    salt = salinity * (1.7674e-2 + inverse * (-10.754 + inverse * 2140.7))
    at_one_atmosphere = 1e-3 * np.exp(fresh - salt)
    return at_one_atmosphere * _pressure_factor(temperature, pressure / ATMOSPHERE)


def _pressure_factor(temperature: Any, atmospheres: Any) -> Any:
    """Return saturation at a pressure over saturation at 1 atm (USGS 2011)."""
    celsius = temperature - ZERO_CELSIUS
    vapour = np.exp(11.8571 - 3840.70 / temperature - 216961.0 / temperature**2)
    second = 0.000975 - 1.426e-5 * celsius + 6.436e-8 * celsius**2
    dry = (atmospheres - vapour) / (1.0 - vapour)
    return dry * (1.0 - second * atmospheres) / (1.0 - second)


@public(returns="kPa", sources=("USStandardAtmosphere1976",))
def air_pressure(altitude: Annotated[Amount, Range(0, 5000, "m")]) -> Number:
    """Return the usual air pressure at a height above the sea, in kPa.

    At 1000 m water holds 12 % less oxygen than at the sea. Weather moves the pressure by a few
    per cent; a barometer that shows the true (station) pressure is better than this.

    Equation: P = 101.325 (1 - 0.0065 H / 288.15)^5.25588 kPa, with the geopotential height
    H = r z / (r + z) and r = 6 356 766 m.

    Source: USStandardAtmosphere1976, lowest layer.
    Validity: the layer reaches 11 km; we stop where oxygen tables do. A yearly average for the
        middle latitudes.
    Departures: none; the exponent is g M / (R L) = 9.80665 x 28.9644 / (8314.32 x 0.0065).

    >>> air_pressure(Q(1000, "m")).round(2)
    <Quantity(89.88, 'kilopascal')>
    """
    earth_radius = 6356766.0
    height = earth_radius * altitude / (earth_radius + altitude)
    exponent = 9.80665 * 28.9644 / (8314.32 * 0.0065)
    return ATMOSPHERE * (1.0 - 0.0065 * height / 288.15) ** exponent


@public(returns="1/h", sources=("IS13166", "ASCE206"))
def transfer_coefficient(
    transfer_coefficient_20: Annotated[Amount, Range(0, 200, "1/h")],
    temperature: Annotated[Amount, Range(0, 40, "degC")],
    temperature_factor: Annotated[Number, Range(1, 1.1)] = TEMPERATURE_FACTOR,
) -> Number:
    """Return the oxygen transfer coefficient at the tank's temperature, per hour.

    It says how quickly the gap between what the water holds and what it could hold closes:
    with 1 per hour, 63 % of the gap is gone in an hour.

    Equation: K_L a(t) = K_L a(20) θ^(t - 20), with θ = 1.024.

    transfer_coefficient_20: At 20 °C.
    temperature_factor: θ; left out, 1.024.
    Source: IS13166, ASCE206 (θ = 1.024).
    Validity: bubbles and surface aerators near room temperature; the ranges are ours.

    >>> transfer_coefficient(Q(2, "1/h"), Q(25, "degC")).round(3)
    <Quantity(2.252, '1 / hour')>
    """
    return transfer_coefficient_20 * temperature_factor ** (temperature - STANDARD_TEMPERATURE)


@public(returns="g/h", sources=("ASCE206",))
def transfer_rate(
    transfer_coefficient: Annotated[Amount, Range(0, 200, "1/h")],
    saturation: Annotated[Amount, Range(0, 50, "mg/L")],
    concentration: Annotated[Amount, Range(0, 50, "mg/L")],
    volume: Annotated[Amount, Range(0, 100000, "L")],
) -> Number:
    """Return the oxygen that passes from air to water, in g per hour.

    The emptier the water, the faster it fills. Above saturation the figure is negative: bubbling
    then drives oxygen out.

    Equation: OTR = K_L a (C_s - C) V.

    transfer_coefficient: At the tank's temperature, see `transfer_coefficient`.
    saturation: See `saturation`.
    concentration: Of dissolved oxygen now.
    Returns: Of oxygen, negative above saturation.
    Source: ASCE206, form read in secondary copies.
    Validity: well mixed water; the ranges are ours.

    >>> transfer_rate(Q(2, "1/h"), Q(9.09, "mg/L"), Q(6, "mg/L"), Q(200, "L")).round(3)
    <Quantity(1.236, 'gram / hour')>
    """
    return transfer_coefficient * (saturation - concentration) * volume


@public(returns="g/h", sources=("ASCE206", "IS13166", "BensonKrause1984", "USGS2011"))
def aerator_rate(
    standard_rate: Annotated[Amount, Range(0, 100000, "g/h")],
    temperature: Annotated[Amount, Range(0, 40, "degC", "USGS2011")],
    concentration: Annotated[Amount, Range(0, 50, "mg/L")],
    alpha: Annotated[Number, Range(0.1, 1.5)],
    beta: Annotated[Number, Range(0.5, 1)],
    salinity: Annotated[Number, Range(0, 40, "", "USGS2011")] = 0.0,
    pressure: Annotated[Amount, Range(0.5, 1.1, "atm", "USGS2011")] = ATMOSPHERE,
) -> Number:
    """Return the oxygen that an aerator really delivers in the tank, in g per hour.

    Makers rate aerators in clean, oxygen-free water at 20 °C; in a stocked tank near saturation
    the same machine gives perhaps a fifth of that.

    Equation: AOTR = SOTR α (β C_s(t, S, P) - C) / C_s(20 °C, fresh, 1 atm) 1.024^(t - 20).

    standard_rate: The rated figure (SOTR): fresh clean water, 20 °C, no oxygen, 1 atm.
    concentration: Of dissolved oxygen kept in the tank.
    alpha: Transfer in tank water over transfer in clean water; parameter `aeration_alpha`.
    beta: Saturation in tank water over that in clean water of the same salinity; parameter
        `aeration_beta`.
    pressure: Left out, 1 atm.
    Returns: Of oxygen, negative if the tank already holds more than it can keep.
    Source: ASCE206 (form, read in secondary copies), IS13166 (1.024), BensonKrause1984 and
        USGS2011 (saturation).
    Validity: as `saturation`; the ranges of alpha and beta are ours.
    Departures: saturation is taken at the tank's own salinity, so beta must not count the salt
        again; the extra pressure on deep bubbles is left out. Salt also makes bubbles smaller,
        which alpha would have to carry.

    >>> aerator_rate(Q(100, "g/h"), Q(25, "degC"), Q(6, "mg/L"), 0.8, 0.95).round(1)
    <Quantity(18.3, 'gram / hour')>
    """
    tank = saturation.bare(temperature, salinity, pressure)
    rated = saturation.bare(STANDARD_TEMPERATURE)
    warmer = transfer_coefficient.bare(1.0, temperature)
    return standard_rate * alpha * (beta * tank - concentration) / rated * warmer
