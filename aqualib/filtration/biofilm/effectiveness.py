"""Biofilm: how deep oxygen and ammonia reach into living media, and how much of them works."""

from __future__ import annotations

from typing import Annotated

import numpy as np
from scipy.special import ive

from aqualib.edge import public
from aqualib.filtration.biofilm.diffusion import (
    DIFFUSIVITIES,
)
from aqualib.filtration.biofilm.zero_order import (
    DIMENSIONS,
    FILM_CONCENTRATIONS,
    PIECE_SHAPES,
    SHAPE_SIZES,
    VOLUMETRIC_RATES,
)
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range

THIELE_MODULI = Range(0, 1e6, "")
NEGLIGIBLE = float(np.finfo(float).eps)
"""At this modulus and below the effectiveness is 1 to the last digit."""


@public(returns="", sources=("Thiele1939",))
def thiele_modulus(
    size: Annotated[Amount, SHAPE_SIZES],
    rate_constant: Annotated[Amount, Range(0, 1e6, "1/day")],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
) -> Number:
    """Return how fast bacteria use up a substance compared with how fast it comes in, no unit.

    Below 0.5 the whole piece works; above 5 little more than its skin.

    Equation: φ = L √(k / D).

    size: L, half-thickness of a slab, radius of a cylinder or a sphere.
    rate_constant: k, share of the substance used up in a day at any one place (first order).
    diffusivity: D, in the piece.
    Source: Thiele1939 (not read).
    Validity: use in proportion to what is there, so concentrations well below half saturation.
    Departures: none; some books take V/A in place of L, which is L/2 for a cylinder and L/3 for
        a sphere.

    >>> round(thiele_modulus(Q(1, "mm"), Q(346, "1/day"), Q(1e-9, "m**2/s")), 2)
    2.0
    """
    return size * np.sqrt(rate_constant / diffusivity)


@public(returns="", sources=("Thiele1939",))
def effectiveness_factor(
    thiele_modulus: Annotated[Number, THIELE_MODULI],
    shape: Annotated[str, OneOf(PIECE_SHAPES)] = "sphere",
) -> Number:
    """Return the share of its possible work that a piece does, as a plain fraction 0 to 1.

    At 1 every corner works as if it lay in open water; at 0.1 nine tenths of the piece is idle.

    Equation: slab tanh φ / φ; cylinder 2 I1(φ) / (φ I0(φ)); sphere (3 / φ²)(φ coth φ - 1), with
    φ from `thiele_modulus`.

    Source: Thiele1939 (not read; closed forms checked by solving the equation itself).
    Validity: one substance, used in proportion to its concentration; no film of water outside.
    Departures: computed for all three shapes as n I(n/2) / (φ I(n/2 - 1)), n = 1, 2, 3, which
        is the same and neither overflows nor loses digits.

    >>> round(effectiveness_factor(2.0, "slab"), 3)
    0.482
    """
    dimensions = DIMENSIONS[shape]
    modulus = np.maximum(thiele_modulus, NEGLIGIBLE)
    inner, outer = ive(0.5 * dimensions, modulus), ive(0.5 * dimensions - 1.0, modulus)
    return dimensions * inner / (modulus * outer)


@public(returns="um", sources=("Harremoes1978",))
def penetration_depth(
    concentration: Annotated[Amount, FILM_CONCENTRATIONS],
    rate: Annotated[Amount, VOLUMETRIC_RATES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
) -> Number:
    """Return how deep a dissolved substance reaches into a flat layer of busy bacteria, in µm.

    Oxygen often reaches a quarter of a millimetre; what lies deeper is surface on paper only.

    Equation: δ = √(2 D C / k).

    concentration: C, of the substance at the surface of the layer.
    rate: k, how much of it a volume of the layer uses in a day.
    diffusivity: D, in the layer.
    Source: Harremoes1978 (not read); the integral is elementary.
    Validity: bacteria that keep their pace down to the last trace, and a layer much thinner
        than it is wide.

    >>> penetration_depth(Q(8, "mg/L"), Q(20000, "g/m**3/day"), Q(1e-9, "m**2/s")).round(1)
    <Quantity(262.9, 'micrometer')>
    """
    return np.sqrt(2.0 * diffusivity * concentration / rate)


@public(returns="g/m**2/day", sources=("Harremoes1978",))
def half_order_flux(
    concentration: Annotated[Amount, FILM_CONCENTRATIONS],
    rate: Annotated[Amount, VOLUMETRIC_RATES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
) -> Number:
    """Return what a deep layer of busy bacteria takes in through its surface, in g/m² a day.

    Four times the oxygen only doubles the work, for the deeper bacteria get a thinner share.

    Equation: J = √(2 D k C).

    Source: Harremoes1978 (not read); the integral is elementary.
    Validity: layers thicker than `penetration_depth`; thinner ones take k times their
        thickness.

    >>> half_order_flux(Q(8, "mg/L"), Q(20000, "g/m**3/day"), Q(1e-9, "m**2/s")).round(3)
    <Quantity(5.258, 'gram / meter ** 2 / day')>
    """
    return np.sqrt(2.0 * diffusivity * rate * concentration)
