"""Salinity from a conductivity meter: the practical salinity scale of 1978."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import Amount, Range, public
from aqualib.validity import ValidityError
from aqualib.water.properties import first_bad, old_celsius, polynomial

STANDARD_CONDUCTIVITY = 4.2914
"""Conductivity of sea water of salinity 35 at 15 °C (IPTS-68) and the surface, in S/m."""
SCALE = Range(2, 42, "", "UNESCO1981")
"""The practical salinities for which the scale is defined."""


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
) -> Any:
    """Return the practical salinity from electrical conductivity, as a plain number.

    Salt water conducts; warm water conducts better. The meter's reading is turned into salinity
    with the temperature at which it was taken.

    Equation: S = Σ a_i R^(i/2) + (t - 15) / (1 + 0.0162 (t - 15)) Σ b_i R^(i/2), where R is
    conductivity over that of sea water of salinity 35 at the same temperature (PSS-78).

    Parameters
    ----------
    conductivity : quantity, 1 to 80 mS/cm
        As measured, not corrected to 25 °C. A meter that shows "specific conductance" has
        already moved its reading to 25 °C: give 25 degC as the temperature then, and accept that
        the meter's own correction is only right for the salts it was set for.
    temperature : quantity, 0 to 35 degC

    Returns
    -------
    plain number: practical salinity, 2 to 42

    Raises
    ------
    ValidityError
        If a value is out of range, or the result is outside salinity 2 to 42.

    Notes
    -----
    Source: UNESCO1981, as given in UNESCO44; conductivity of standard sea water 42.914 mS/cm.
    Validity: sea salt, salinity 2 to 42, -2 to 35 °C, at the surface.
    Departures: temperature is turned into the IPTS-68 scale of the equation, t68 = 1.00024 t90;
    the pressure terms are left out.

    Examples
    --------
    >>> from aqualib.units import Q
    >>> round(salinity_from_conductivity(Q(53, "mS/cm"), Q(25, "degC")), 2)
    34.95
    """
    return _practical_salinity(conductivity, temperature)
