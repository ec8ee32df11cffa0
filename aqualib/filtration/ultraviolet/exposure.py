"""Eye and skin: how soon a bare lamp of 254 nm reaches the limit of a whole day.

The numbers say why nobody may look at a lamp that runs outside its housing. They are no permit to
do so for a shorter time.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.parameters import parameter
from aqualib.units import Amount, Number
from aqualib.validity import Range

UV_POWER = Range(0.001, 1e4, "W")
DISTANCE = Range(0.05, 100, "m")


def day_limit() -> float:
    """Return the exposure to 254 nm that is the limit for eight hours, in J/m²."""
    return parameter("ultraviolet_limit").bare / parameter("ultraviolet_weight_254").bare


@public(returns="s", sources=("ICNIRP2004",))
def exposure_time(
    uv_power: Annotated[Amount, UV_POWER],
    distance: Annotated[Amount, DISTANCE],
) -> Number:
    """Return how soon a bare lamp, seen as a point, reaches the limit of a whole day, in s.

    A small lamp half a metre away needs about a minute; the eyes hurt hours later, not at once
    (from memory), so nothing warns in time.

    Equation: t = H / (P / (4 pi d²)), with H = 30 / 0.5 = 60 J/m² at 254 nm.

    uv_power: UV-C that the lamp gives, P; take the greatest it may be.
    Source: ICNIRP2004 (limit and weight read in summaries); the surface of a sphere.
    Validity: light that goes evenly to all sides. A tube shines strongest sideways: further
        away than its own length, `exposure_time_beside_tube` is up to a fifth shorter. Mirrors
        add to it.

    >>> exposure_time(Q(2.7, "W"), Q(0.5, "m")).round(1)
    <Quantity(69.8, 'second')>
    """
    return day_limit() * 4.0 * np.pi * distance**2 / uv_power


@public(returns="s", sources=("ICNIRP2004", "Keitz1971"))
def exposure_time_beside_tube(
    uv_power: Annotated[Amount, UV_POWER],
    distance: Annotated[Amount, DISTANCE],
    lit_length: Annotated[Amount, Range(1, 5000, "mm")],
) -> Number:
    """Return how soon a bare tube, seen from its side, reaches the limit of a whole day, in s.

    This is the time to quote for a lamp: most are tubes.

    Equation: t = H / E, E = P / (2 pi² d L) (2 alpha + sin 2 alpha), tan alpha = L / (2 d), with
    H = 30 / 0.5 = 60 J/m² at 254 nm.

    uv_power: UV-C that the lamp gives, P; take the greatest it may be.
    distance: From the middle of the tube, straight out, d.
    lit_length: L.
    Source: ICNIRP2004 (limit and weight read in summaries); Keitz1971 (formula read in a
        secondary copy).
    Validity: a straight tube that shines evenly along its length; a folded one lies between
        this and `exposure_time`. Mirrors add to it.

    >>> exposure_time_beside_tube(Q(2.7, "W"), Q(0.5, "m"), Q(200, "mm")).round(1)
    <Quantity(56.3, 'second')>
    """
    half_angle = np.arctan(lit_length / (2.0 * distance))
    spread = 2.0 * half_angle + np.sin(2.0 * half_angle)
    return day_limit() * 2.0 * np.pi**2 * distance * lit_length / (uv_power * spread)
