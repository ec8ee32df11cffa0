"""Open-cell foam: the surface of its threads, from its pores per inch."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from aqualib.edge import public
from aqualib.parameters import or_row
from aqualib.units import Amount, Number
from aqualib.validity import Range

PORES = Range(4, 110)
FOAM_VOIDAGES = Range(0.8, 0.995)
CELLS = Range(0.1, 20, "mm")


@public(returns="mm", sources=("ZincOxideFoam2019",))
def foam_cell(
    pores_per_inch: Annotated[Number, PORES],
    cell_ratio: Annotated[Number | None, Range(0.5, 4)] = None,
) -> Number:
    """Return the width of a cell of open foam, in mm.

    The number on the foam counts holes along an inch; a cell is about two such steps wide.

    Equation: D = r x 25.4 mm / ppi.

    cell_ratio: r; left out, the row `foam_cell_ratio` of data/parameters.csv.
    Source: ZincOxideFoam2019 (one measured foam, 2.69 mm at 20 pores per inch).
    Validity: makers count in different ways; the range of r, 1 to 2.6, is from memory.

    >>> foam_cell(20).round(2)
    <Quantity(2.69, 'millimeter')>
    """
    return cell_of_step(0.0254 / pores_per_inch, cell_ratio)


def cell_of_step(step: Any, cell_ratio: Any = None) -> Any:
    """Return the width of a cell from the step between pores, in the unit of the step.

    The step, an inch over the pores per inch, is what the table of kinds calls the size of foam.
    """
    return or_row(cell_ratio, "foam_cell_ratio") * step


@public(returns="m**2/L", sources=())
def foam_area(
    cell: Annotated[Amount, CELLS],
    voidage: Annotated[Number, FOAM_VOIDAGES],
) -> Number:
    """Return the surface of the threads of open foam, in m² per litre of foam.

    Foam is nearly all water; its surface is that of a net of thin threads. Finer foam has more,
    and clogs sooner.

    Equation: A = 2 (π ℓ (1 - ε))^(1/2), with ℓ = 6 √2 / D² the length of thread in a volume of
    equal 14-sided cells of width D; the threads are then s = (4 (1 - ε) / (π ℓ))^(1/2) thick.

    cell: Width of a cell between two square faces, see `foam_cell`.
    voidage: Share of the foam that is water.
    Source: our own geometry, round threads along the edges of cells that fill space.
    Validity: an estimate, ±30 % (a judgement): real threads are thicker at the knots and
        three-cornered. Of one measured foam it gives threads of 0.27 mm; 0.38 ± 0.15 mm was
        found.
    Departures: the volume shared at the knots is counted twice.

    >>> foam_area(Q(2.69, "mm"), 0.95).round(3)
    <Quantity(0.858, 'meter ** 2 / liter')>
    """
    thread = 6.0 * np.sqrt(2.0) / cell**2
    return 2.0 * np.sqrt(np.pi * thread * (1.0 - voidage))
