"""The pH scales of sea water: the same water reads differently on each.

The free scale counts hydrogen ions alone; the total scale adds those held by sulphate; the
seawater scale adds those held by fluoride; the NBS scale is what a glass electrode set in
ordinary low-salt buffers shows. In fresh water they agree.
"""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range, ValidityError
from aqualib.water.properties import first_bad

SCALES = ("free", "total", "seawater", "nbs")
FRESH_BELOW = 0.5
"""Practical salinity below which water counts as fresh and the scales as one."""
NBS_FROM = 20.0
"""Practical salinity below which the electrode's activity factor must not be trusted."""


def _ionic_strength(salinity: Any) -> Any:
    return 19.924 * salinity / (1000.0 - 1.005 * salinity)


def _per_seawater(salinity: Any) -> Any:
    """Turn mol per kg of water into mol per kg of sea water."""
    return 1.0 - 0.001005 * salinity


def _sulphate_ratio(temperature: Any, salinity: Any) -> Any:
    """Total sulphate over the dissociation constant of hydrogen sulphate (free scale)."""
    strength = _ionic_strength(salinity)
    log_t = np.log(temperature)
    log_k = (
        -4276.1 / temperature
        + 141.328
        - 23.093 * log_t
        + (-13856.0 / temperature + 324.57 - 47.986 * log_t) * strength**0.5
        + (35474.0 / temperature - 771.54 + 114.723 * log_t) * strength
        - 2698.0 / temperature * strength**1.5
        + 1776.0 / temperature * strength**2
    )
    total_sulphate = 0.14 / 96.062 * salinity / 1.80655
    return total_sulphate / (np.exp(log_k) * _per_seawater(salinity))


def _fluoride_ratio(temperature: Any, salinity: Any) -> Any:
    """Total fluoride over the dissociation constant of hydrogen fluoride (free scale)."""
    log_k = 1590.2 / temperature - 12.641 + 1.525 * _ionic_strength(salinity) ** 0.5
    total_fluoride = 0.000067 / 18.998 * salinity / 1.80655
    return total_fluoride / (np.exp(log_k) * _per_seawater(salinity))


def _electrode_factor(temperature: Any, salinity: Any) -> Any:
    """Apparent activity factor of hydrogen ions at a glass electrode."""
    return 1.2948 - 0.002036 * temperature + (0.0004607 - 1.475e-6 * temperature) * salinity**2


def above_free(temperature: Any, salinity: Any, ph_scale: str) -> Any:
    """Return (pH on the free scale) - (pH on `ph_scale`) for the same water; bare SI numbers."""
    if ph_scale == "free":
        return 0.0 * temperature * salinity
    held = _sulphate_ratio(temperature, salinity)
    if ph_scale == "total":
        return np.log10(1.0 + held)
    seawater = 1.0 + held + _fluoride_ratio(temperature, salinity)
    if ph_scale == "seawater":
        return np.log10(seawater)
    return np.log10(seawater * _electrode_factor(temperature, salinity))


def refuse_weak_nbs(salinity: Any, scales: tuple[str, ...]) -> None:
    """Raise if the NBS scale is asked for in brackish water, where its factor is not known."""
    brackish = (np.asarray(salinity) > FRESH_BELOW) & (np.asarray(salinity) < NBS_FROM)
    if "nbs" in scales and np.any(brackish):
        valid = f"salinity below {FRESH_BELOW:g} or from {NBS_FROM:g} with the NBS scale"
        why = "is brackish, where no activity factor for the NBS scale can be trusted"
        (shown,) = first_bad(brackish, salinity)
        raise ValidityError("salinity", f"{shown:g}", valid, "TakahashiEtAl1982", why)


def _check(salinity: Any, from_scale: str, to_scale: str, **_: Any) -> None:
    refuse_weak_nbs(salinity, (from_scale, to_scale))


@public(
    returns="",
    sources=("Dickson1990", "DicksonRiley1979", "TakahashiEtAl1982"),
    together=_check,
)
def convert(
    ph: Annotated[Number, Range(4, 11)],
    temperature: Annotated[Amount, Range(0, 45, "degC", "Dickson1990")],
    salinity: Annotated[Number, Range(0, 45, "", "Dickson1990")],
    from_scale: Annotated[str, OneOf(SCALES)],
    to_scale: Annotated[str, OneOf(SCALES)],
) -> Number:
    """Return a pH reading moved from one scale to another, as a plain number.

    A meter set in shop buffers shows NBS pH; research and our sea-water formulas use the total
    scale. At 25 °C and salinity 35 the NBS reading is 0.14 higher for the same water.

    Equation: pH_to = pH_from + d(from) - d(to), where d is how far the scale lies below the free
    scale: d(total) = log10(1 + S_T/K_S), d(seawater) = log10(1 + S_T/K_S + F_T/K_F),
    d(nbs) = d(seawater) + log10(f_H). Up to salinity 0.5 the pH is left as it is.

    Returns: The same water's pH on the other scale.
    Raises: the NBS scale is asked for at salinity 0.5 to 20.
    Source: Dickson1990 (K_S), DicksonRiley1979 (K_F), TakahashiEtAl1982 (f_H); sulphate and
        fluoride in proportion to salinity.
    Validity: as the ranges above; f_H is empirical and known from salinity 20 up.
    Departures: the printed exponent 9 in one constant of Dickson 1990 is a misprint for 8, as
        PyCO2SYS notes; the corrected value is used. At salinity 0.5 the free scale parts from
        the total and seawater scales by a step of 0.005 (0 °C) to 0.02 (45 °C).

    >>> round(convert(8.1, Q(25, "degC"), 35, "total", "nbs"), 2)
    8.24
    """
    moved = (
        ph
        + above_free(temperature, salinity, from_scale)
        - above_free(temperature, salinity, to_scale)
    )
    fresh = np.asarray(salinity) <= FRESH_BELOW
    return np.where(fresh, ph, moved)[()] if np.any(fresh) else moved
