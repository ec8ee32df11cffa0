"""Particle sizes: how the dirt's mass and number are spread over sizes, by a power law."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

import numpy as np

from aqualib.edge import model, public
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError

PARTICLE_SIZES = Range(0.01, 10000, "um")
SIZE_EXPONENTS = Range(1.5, 6, "", "PattersonWatts2003")
CLASS_COUNTS = Range(1, 1000, whole=True)


class SizeClasses(NamedTuple):
    """Classes of particles: their middle diameters in m, and the share of the mass in each."""

    diameters: Any
    mass_shares: Any


def _power_integral(lower: Any, upper: Any, power: Any) -> Any:
    """Return the integral of x^(power - 1), a logarithm where the power is nought."""
    # (b^p - a^p) / p, written so that it stays exact as p goes through nought.
    middle, ratio = np.sqrt(lower * upper), np.log(upper / lower)
    half = power * ratio / 2.0
    stretch = np.divide(np.sinh(half), half, out=np.ones_like(half), where=half != 0.0)
    return middle**power * ratio * stretch


def _share(lower: Any, upper: Any, smallest: Any, largest: Any, power: Any) -> Any:
    inside = [np.clip(edge, smallest, largest) for edge in (lower, upper)]
    power = np.asarray(power, dtype=float)
    share = _power_integral(inside[0], inside[1], power) / _power_integral(smallest, largest, power)
    return float(share) if np.ndim(share) == 0 else share


def _check_order(lower: Any, upper: Any, smallest: Any, largest: Any, **_: Any) -> None:
    if np.any(np.asarray(smallest) >= np.asarray(largest)):
        why = "is not below the largest size"
        raise ValidityError("smallest", "the size", "less than largest", "", why)
    if np.any(np.asarray(lower) > np.asarray(upper)):
        raise ValidityError("lower", "the size", "not more than upper", "", "is above upper")


@public(returns="", sources=("PattersonWatts2003",), together=_check_order)
def mass_share(
    lower: Annotated[Amount, PARTICLE_SIZES],
    upper: Annotated[Amount, PARTICLE_SIZES],
    smallest: Annotated[Amount, PARTICLE_SIZES],
    largest: Annotated[Amount, PARTICLE_SIZES],
    exponent: Annotated[Number, SIZE_EXPONENTS],
) -> Number:
    """Return the share of the particles' mass between two sizes, as a plain fraction.

    At an exponent of 3.4 three quarters of the mass is in pieces one can just see; at 4.5 it is
    in fines that no pad holds.

    Equation: (upper^(4-β) - lower^(4-β)) / (largest^(4-β) - smallest^(4-β)), and logarithms at
    β = 4, from dN/dd = A d^-β.

    exponent: β.
    Returns: 0 to 1.
    Raises: the sizes are not in order.
    Source: PattersonWatts2003 (abstract read) found β from 2.6 to 3.6 in recirculated water.
    Validity: one density for all sizes; the law says nothing outside the two end sizes.

    >>> ends = {"smallest": Q(1, "um"), "largest": Q(500, "um"), "exponent": 3.4}
    >>> round(mass_share(Q(60, "um"), Q(500, "um"), **ends), 3)
    0.737
    """
    return _share(lower, upper, smallest, largest, 4.0 - np.asarray(exponent))


@public(returns="", sources=("PattersonWatts2003",), together=_check_order)
def number_share(
    lower: Annotated[Amount, PARTICLE_SIZES],
    upper: Annotated[Amount, PARTICLE_SIZES],
    smallest: Annotated[Amount, PARTICLE_SIZES],
    largest: Annotated[Amount, PARTICLE_SIZES],
    exponent: Annotated[Number, SIZE_EXPONENTS],
) -> Number:
    """Return the share of the number of particles between two sizes, as a plain fraction.

    Nearly all particles are fines, and they make the water look cloudy; the mass is elsewhere.

    Equation: (upper^(1-β) - lower^(1-β)) / (largest^(1-β) - smallest^(1-β)), from
    dN/dd = A d^-β.

    exponent: β.
    Returns: 0 to 1.
    Raises: the sizes are not in order.
    Source: PattersonWatts2003 (abstract read).
    Validity: as `mass_share`; it hangs on the smallest size counted.

    >>> ends = {"smallest": Q(1, "um"), "largest": Q(500, "um"), "exponent": 3.4}
    >>> round(number_share(Q(1, "um"), Q(20, "um"), **ends), 4)
    0.9992
    """
    return _share(lower, upper, smallest, largest, 1.0 - np.asarray(exponent))


@model(returns={})
def size_classes(
    exponent: Annotated[float | None, SIZE_EXPONENTS] = None,
    smallest: Annotated[float | None, PARTICLE_SIZES] = None,
    largest: Annotated[float | None, PARTICLE_SIZES] = None,
    count: Annotated[int, CLASS_COUNTS] = 30,
) -> SizeClasses:
    """Return `count` classes of particles, equal on a logarithmic scale.

    What is left out is taken from `solids_exponent`, `solids_smallest` and `solids_largest`
    of `data/parameters.csv`. The diameters of the result are plain metres.
    """
    low, high = or_row(smallest, "solids_smallest"), or_row(largest, "solids_largest")
    edges = np.geomspace(low, high, int(count) + 1)
    power = or_row(exponent, "solids_exponent")
    shares = mass_share.bare(edges[:-1], edges[1:], low, high, power)
    return SizeClasses(np.sqrt(edges[:-1] * edges[1:]), shares)
