"""Pieces of media: how much outer surface each shape has for its volume."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.units import Amount, Number
from aqualib.validity import Range, ValidityError

PIECE_SIZES = Range(0.05, 500, "mm")
SPHERICITIES = Range(0.1, 1)


@public(returns="1/m", sources=())
def sphere_area(diameter: Annotated[Amount, PIECE_SIZES]) -> Number:
    """Return the surface of a ball over its volume, in 1/m (the same as m² per m³).

    Balls half as wide have twice the surface for each litre of ball.

    Equation: a = 6 / d.

    Source: geometry.
    Validity: a smooth ball; roughness finer than a film of bacteria adds nothing they can use.

    >>> sphere_area(Q(10, "mm")).round(1)
    <Quantity(600.0, '1 / meter')>
    """
    return 6.0 / diameter


def check_hole(outside: Any, inside: Any, **_: Any) -> None:
    """Raise if the hole of a ring is not narrower than the ring."""
    if np.any(np.asarray(inside) >= np.asarray(outside)):
        why = "is not narrower than the ring"
        raise ValidityError("inside", "the hole", "less than outside", "", why)


@public(returns="1/m", sources=(), together=check_hole)
def ring_area(
    outside: Annotated[Amount, PIECE_SIZES],
    inside: Annotated[Amount, PIECE_SIZES],
    length: Annotated[Amount, PIECE_SIZES],
) -> Number:
    """Return the surface of a ring over the volume of its wall, in 1/m.

    Only the wall counts: water passes through the hole, so its inside is outer surface too.

    Equation: a = 4 / (D - B) + 2 / L, with D the outside and B the inside diameter.

    Raises: the hole is as wide as the ring.
    Source: geometry; the wall is half of D - B thick.
    Validity: a smooth ring whose hole stays open.

    >>> ring_area(Q(15, "mm"), Q(9, "mm"), Q(15, "mm")).round(1)
    <Quantity(800.0, '1 / meter')>
    """
    return 4.0 / (outside - inside) + 2.0 / length


@public(returns="1/m", sources=())
def irregular_area(
    size: Annotated[Amount, PIECE_SIZES],
    sphericity: Annotated[Number, SPHERICITIES],
) -> Number:
    """Return the surface of a broken piece over its volume, in 1/m.

    An odd shape has more surface than a ball of the same volume; a lump of gravel about a third
    more.

    Equation: a = 6 / (φ d), with d the diameter of the ball of equal volume and φ the sphericity,
    the surface of that ball over the surface of the piece.

    size: Diameter of the ball of equal volume.
    sphericity: 1 for a ball, 0.87 for a cube, about 0.75 for sand (from a textbook table).
    Source: the definition of sphericity.
    Validity: outer shape only; holes and bubbles that water passes through are not counted.

    >>> irregular_area(Q(4, "mm"), 0.75).round(1)
    <Quantity(2000.0, '1 / meter')>
    """
    return 6.0 / (sphericity * size)
