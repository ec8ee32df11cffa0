"""The shell of a piece that works: how much oxygen reaches, and which pore walls lie there."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.filtration.media.pieces import PIECE_SIZES
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range

WORKING_DEPTHS = Range(0, 100, "mm")


@public(returns="", sources=())
def ball_shell_share(
    diameter: Annotated[Amount, PIECE_SIZES],
    depth: Annotated[Amount, WORKING_DEPTHS],
) -> Number:
    """Return the share of a ball that lies within a depth of its surface, as a fraction 0 to 1.

    If oxygen reaches 0.3 mm deep, less than an eighth of a 15 mm ball has any.

    Equation: s = 1 - (1 - 2 δ / d)³, and 1 where δ is half of d or more.

    diameter: Of a broken piece, its size times its sphericity: the ball with as much surface
        per volume.
    depth: Working depth δ: how far into the piece nitrification reaches.
    Source: geometry.
    Validity: the same depth all round.

    >>> round(ball_shell_share(Q(15, "mm"), Q(0.3, "mm")), 3)
    0.115
    """
    return 1.0 - np.maximum(1.0 - 2.0 * depth / diameter, 0.0) ** 3


@public(returns="", sources=())
def ring_shell_share(
    wall: Annotated[Amount, PIECE_SIZES],
    length: Annotated[Amount, PIECE_SIZES],
    depth: Annotated[Amount, WORKING_DEPTHS],
) -> Number:
    """Return the share of a ring's wall within a depth of its surface, as a fraction 0 to 1.

    A thin wall is used from both sides; that is why rings are made with thin walls.

    Equation: s = 1 - (1 - 2 δ / w) (1 - 2 δ / L), and 1 where a bracket falls to zero.

    wall: Thickness of the wall w, half the outside less the inside diameter.
    depth: Working depth δ.
    Source: geometry; a very long wall is a slab.
    Validity: the hole stays open, so water touches the wall on both sides.

    >>> round(ring_shell_share(Q(3, "mm"), Q(15, "mm"), Q(0.3, "mm")), 3)
    0.232
    """
    across = np.maximum(1.0 - 2.0 * depth / wall, 0.0)
    along = np.maximum(1.0 - 2.0 * depth / length, 0.0)
    return 1.0 - across * along


@public(returns="m**2/L", sources=())
def walls_in_reach(
    wall_area: Annotated[Amount, Range(0, 1e7, "m**2/L")],
    shell_share: Annotated[Number, Range(0, 1)],
    pore_diameter: Annotated[Amount, Range(0.001, 10000, "um")],
    smallest_pore: Annotated[Amount | None, Range(0, 10000, "um")] = None,
) -> Number:
    """Return the pore walls that lie within the working depth, in m² per litre of bed.

    They give bacteria more room to sit, but no more oxygen: all that is used in the shell came in
    through the outer surface. So read them as room to spare, not as surface to add.

    Equation: A_r = s A_w, and 0 where the pores are narrower than bacteria need.

    wall_area: Of all pores, see `pore_wall_area`.
    shell_share: See `ball_shell_share` and `ring_shell_share`.
    smallest_pore: Left out, the row `smallest_open_pore` of data/parameters.csv (assumed).
    Source: geometry; the smallest pore is assumed.
    Validity: pores spread evenly through the piece.
    Departures: the step at the smallest pore is sharp here and gradual in life.

    >>> walls_in_reach(Q(6.6, "m**2/L"), 0.23, Q(200, "um")).round(2)
    <Quantity(1.52, 'meter ** 2 / liter')>
    """
    least = or_row(smallest_pore, "smallest_open_pore")
    open_enough = np.asarray(pore_diameter) >= least
    return np.where(open_enough, shell_share * wall_area, 0.0)
