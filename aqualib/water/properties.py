"""Physical properties of fresh and sea water: density, viscosity, salinity from what we read."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.units import ZERO_CELSIUS, Amount, Number
from aqualib.validity import Range, ValidityError

SALT_PER_SALINITY = 35.16504 / 35.0
"""Grams of salt per kg of standard sea water, per unit of practical salinity (TEOS-10)."""
CHLORIDE_IN_SALT = 0.5503396
"""Mass fraction of chloride in reference-composition sea salt (Millero et al. 2008)."""
SALINITIES = Range(0, 42, "", "MilleroPoisson1981")
TEMPERATURES = Range(0, 40, "degC", "MilleroPoisson1981")
STANDARD_CONDUCTIVITY = 4.2914
"""Conductivity of sea water of salinity 35 at 15 °C (IPTS-68) and the surface, in S/m."""
SCALE = Range(2, 42, "", "UNESCO1981")
"""The practical salinities for which the scale is defined."""


def old_celsius(temperature: Any) -> Any:
    """Turn kelvin (ITS-90) into °C on the IPTS-68 scale, in which EOS-80 and PSS-78 were fitted."""
    return 1.00024 * (temperature - ZERO_CELSIUS)


def polynomial(x: Any, *coefficients: float) -> Any:
    """Return c0 + c1 x + c2 x² + ... by Horner's rule."""
    total = coefficients[-1]
    for coefficient in reversed(coefficients[:-1]):
        total = total * x + coefficient
    return total


def _fresh_density(t68: Any) -> Any:
    return polynomial(
        t68, 999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9
    )


def _salt_terms(t68: Any) -> tuple[Any, Any, float]:
    """Return the coefficients of S, S^1.5 and S² in the density of sea water."""
    first = polynomial(t68, 8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
    second = polynomial(t68, -5.72466e-3, 1.0227e-4, -1.6546e-6)
    return first, second, 4.8314e-4


@public(returns="kg/m**3", sources=("MilleroPoisson1981", "UNESCO44"))
def density(
    temperature: Annotated[Amount, TEMPERATURES],
    salinity: Annotated[Number, SALINITIES] = 0.0,
) -> Number:
    """Return the density of water at the surface, in kg per cubic metre.

    A hundred litres of sea water weigh about 2.6 kg more than as much fresh water.

    Equation: ρ = ρ0(t) + A(t) S + B(t) S^1.5 + C S², the one-atmosphere equation of state of sea
    water (EOS-80).

    Source: MilleroPoisson1981, coefficients as in UNESCO44.
    Validity: as the ranges above (the equation itself reaches down to -2 °C); water at normal
        air pressure. Within 0.01 kg/m³ of TEOS-10.
    Departures: temperature is turned into the IPTS-68 scale of the equation, t68 = 1.00024 t90.

    >>> density(Q(25, "degC"), 35).round(2)
    <Quantity(1023.34, 'kilogram / meter ** 3')>
    """
    t68 = old_celsius(temperature)
    first, second, third = _salt_terms(t68)
    # The edge lets a rounding error below zero pass, which has no root.
    root: Any = abs(salinity)
    root = root**0.5
    return _fresh_density(t68) + (first + second * root + third * salinity) * salinity


@public(returns="mPa*s", sources=("SharqawyEtAl2010",))
def dynamic_viscosity(
    temperature: Annotated[Amount, Range(0, 100, "degC", "SharqawyEtAl2010")],
    salinity: Annotated[Number, Range(0, 42, "", "UNESCO1981")] = 0.0,
) -> Number:
    """Return the dynamic viscosity of water, in mPa s: how much it resists flowing.

    Cold water is thicker: at 10 °C a bed of media loses nearly half as much head again as at
    25 °C for the same slow flow.

    Equation: μ = μ_w (1 + A S + B S²), with S in kg salt per kg,
    A = 1.541 + 1.998e-2 t - 9.52e-5 t², B = 7.974 - 7.561e-2 t + 4.724e-4 t²,
    μ_w = 4.2844e-5 + 1 / (0.157 (t + 64.993)² - 91.296) Pa s.

    Returns: Divide by `density` for the kinematic viscosity.
    Source: SharqawyEtAl2010, eqs 22 and 23.
    Validity: the source covers 0 to 180 °C and 0 to 0.15 kg/kg, within 1.5 %; we stop where
        water boils and where practical salinity ends. Fresh water up to 40 °C agrees with IAPWS
        2008 to 0.02 %.
    Departures: salt per kg is taken as practical salinity x 1.004715 g/kg (standard sea water).

    >>> dynamic_viscosity(Q(20, "degC"), 35).round(3)
    <Quantity(1.077, 'millipascal * second')>
    """
    celsius = temperature - ZERO_CELSIUS
    salt = 1e-3 * SALT_PER_SALINITY * salinity
    fresh = 4.2844e-5 + 1.0 / (0.157 * (celsius + 64.993) ** 2 - 91.296)
    first = 1.541 + 1.998e-2 * celsius - 9.52e-5 * celsius**2
    second = 7.974 - 7.561e-2 * celsius + 4.724e-4 * celsius**2
    return fresh * (1.0 + first * salt + second * salt**2)


@public(returns="", sources=("MilleroPoisson1981", "UNESCO44"))
def specific_gravity(
    salinity: Annotated[Number, SALINITIES],
    temperature: Annotated[Amount, TEMPERATURES],
    reference_temperature: Annotated[Amount | None, TEMPERATURES] = None,
) -> Number:
    """Return the specific gravity of sea water, as a plain ratio to fresh water.

    Sea water of salinity 35 at 25 °C reads 1.0264 against fresh water at 25 °C, but 1.0234
    against fresh water at 4 °C; a hydrometer must say which it was made for.

    Equation: SG = ρ(S, t) / ρ(0, t_ref), with ρ from `density`.

    reference_temperature: Of the fresh water compared with; left out, the same as the sample.
    Source: MilleroPoisson1981, UNESCO44.
    Validity: as `density`.
    Departures: none. The swelling of a hydrometer's glass away from its own temperature is not
        corrected.

    >>> round(specific_gravity(35, Q(25, "degC")), 4)
    1.0264
    """
    reference = temperature if reference_temperature is None else reference_temperature
    return density.bare(temperature, salinity) / density.bare(reference, 0.0)


def _check_gravity(specific_gravity: Any, temperature: Any, reference_temperature: Any) -> None:
    lowest = _gravity(SALINITIES.low, temperature, reference_temperature)
    highest = _gravity(SALINITIES.high, temperature, reference_temperature)
    # The slack is far below the last decimal of any instrument.
    bad = (specific_gravity < lowest - 1e-9) | (specific_gravity > highest + 1e-9)
    if np.any(bad):
        value, low, high = first_bad(bad, specific_gravity, lowest, highest)
        valid = f"{low:.4f} to {high:.4f} at these temperatures (salinity 0 to 42)"
        why = "stands for a salinity outside 0 to 42"
        raise ValidityError("specific_gravity", f"{value:g}", valid, "MilleroPoisson1981", why)


def _gravity(salinity: Any, temperature: Any, reference_temperature: Any) -> Any:
    return specific_gravity.bare(salinity, temperature, reference_temperature)


def first_bad(bad: Any, *values: Any) -> tuple[float, ...]:
    """Return the values at the first place where `bad` is true."""
    spread = np.broadcast_arrays(bad, *values)
    place = int(np.argmax(spread[0]))
    return tuple(float(array.flat[place]) for array in spread[1:])


@public(returns="", sources=("MilleroPoisson1981", "UNESCO44"), together=_check_gravity)
def salinity_from_specific_gravity(
    specific_gravity: Annotated[Number, Range(0.98, 1.05)],
    temperature: Annotated[Amount, TEMPERATURES],
    reference_temperature: Annotated[Amount | None, TEMPERATURES] = None,
) -> Number:
    """Return the practical salinity that a hydrometer reading stands for, as a plain number.

    The reading means nothing without two temperatures: the sample's, and the one the hydrometer
    was made for (printed on it, such as 25/25 °C or 60/60 °F).

    Equation: A S + B S^1.5 + C S² = SG ρ(0, t_ref) - ρ(0, t), solved for S step by step.

    temperature: Of the sample.
    reference_temperature: Of the fresh water compared with; left out, the same as the sample.
    Returns: Practical salinity, 0 to 42.
    Raises: the reading stands for a salinity outside 0 to 42.
    Source: MilleroPoisson1981, UNESCO44.
    Validity: water with sea salt; other salts have other densities.
    Departures: the equation is turned round numerically; a round trip returns to 1e-9.

    >>> round(salinity_from_specific_gravity(1.0264, Q(25, "degC")), 1)
    35.0
    """
    reference = temperature if reference_temperature is None else reference_temperature
    t68 = old_celsius(temperature)
    fresh = _fresh_density(old_celsius(reference))
    excess = specific_gravity * fresh - _fresh_density(t68)
    first, second, third = _salt_terms(t68)
    excess = np.maximum(excess, 0.0)
    salinity = excess / first
    # Nearly a straight line in S: each step shrinks the error more than a hundredfold.
    for _ in range(8):
        salinity = excess / (first + second * salinity**0.5 + third * salinity)
    return salinity


@public(returns="mg/L", sources=("MilleroEtAl2008", "MilleroPoisson1981"))
def chloride(
    salinity: Annotated[Number, SALINITIES],
    temperature: Annotated[Amount, TEMPERATURES] = 298.15,
) -> Number:
    """Return the chloride that sea salt brings to the water, in mg/L.

    Chloride keeps nitrite out of the gills: with ten times as much chloride as nitrite many
    fresh-water fish are protected, and sea water carries nearly 20 000 mg/L.

    Equation: Cl = 0.5503396 S_A ρ(S, t), with S_A = 1.004715 S grams of salt per kg.

    temperature: It matters only through the density; left out, 25 degC.
    Source: MilleroEtAl2008 (reference composition), MilleroPoisson1981 (density).
    Validity: sea salt in its natural proportions; the chloride of the tap water comes on top.

    >>> chloride(35).round(-1)
    <Quantity(19800.0, 'milligram / liter')>
    """
    salt = 1e-3 * SALT_PER_SALINITY * salinity
    return CHLORIDE_IN_SALT * salt * density.bare(temperature, salinity)


def _practical_salinity(conductivity: Any, temperature: Any) -> Any:
    """Return PSS-78 at surface pressure from conductivity in S/m, wherever it falls."""
    t68 = old_celsius(temperature)
    standard = polynomial(t68, 0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)
    root = (conductivity / (STANDARD_CONDUCTIVITY * standard)) ** 0.5
    at_15 = polynomial(root, 0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
    away = polynomial(root, 0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
    warmer = t68 - 15.0
    return at_15 + warmer / (1.0 + 0.0162 * warmer) * away


def _check_conductivity(conductivity: Any, temperature: Any) -> None:
    salinity = _practical_salinity(conductivity, temperature)
    bad = (salinity < SCALE.low - 1e-6) | (salinity > SCALE.high + 1e-6)
    if np.any(bad):
        value, found = first_bad(bad, conductivity, salinity)
        why = f"stands for a salinity of about {found:.3g} at this temperature"
        valid = f"readings that stand for a salinity of {SCALE.text}"
        raise ValidityError("conductivity", f"{10.0 * value:g} mS/cm", valid, SCALE.source, why)


@public(returns="", sources=("UNESCO1981", "UNESCO44"), together=_check_conductivity)
def salinity_from_conductivity(
    conductivity: Annotated[Amount, Range(1, 80, "mS/cm")],
    temperature: Annotated[Amount, Range(0, 35, "degC", "UNESCO1981")],
) -> Number:
    """Return the practical salinity from electrical conductivity, as a plain number.

    Salt water conducts; warm water conducts better. The meter's reading is turned into salinity
    with the temperature at which it was taken.

    Equation: S = Σ a_i R^(i/2) + (t - 15) / (1 + 0.0162 (t - 15)) Σ b_i R^(i/2), where R is
    conductivity over that of sea water of salinity 35 at the same temperature (PSS-78).

    conductivity: As measured, not corrected to 25 °C. A meter that shows "specific conductance"
        has already moved its reading to 25 °C: give 25 degC as the temperature then, and accept
        that the meter's own correction is only right for the salts it was set for.
    Returns: Practical salinity, 2 to 42.
    Raises: the result is outside salinity 2 to 42.
    Source: UNESCO1981, as given in UNESCO44; conductivity of standard sea water 42.914 mS/cm.
    Validity: sea salt, salinity 2 to 42, -2 to 35 °C, at the surface.
    Departures: temperature is turned into the IPTS-68 scale of the equation, t68 = 1.00024 t90;
        the pressure terms are left out.

    >>> round(salinity_from_conductivity(Q(53, "mS/cm"), Q(25, "degC")), 2)
    34.95
    """
    return _practical_salinity(conductivity, temperature)
