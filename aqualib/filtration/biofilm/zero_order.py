"""Zero order: bacteria at full pace until the oxygen is gone, and the core that is left without."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np
from scipy.special import betaincinv, gammaincinv

from aqualib.edge import public
from aqualib.filtration.biofilm.diffusion import DIFFUSIVITIES
from aqualib.units import Amount, Number
from aqualib.validity import OneOf, Range

DIMENSIONS = {"slab": 1, "cylinder": 2, "sphere": 3}
PIECE_SHAPES = tuple(DIMENSIONS)
SHAPE_SIZES = Range(0.001, 1000, "mm")
FILM_CONCENTRATIONS = Range(0, 1000, "mg/L")
VOLUMETRIC_RATES = Range(0.1, 1e8, "g/m**3/day")


def _shell(filled: Any, shape: str) -> Any:
    """Return the fed shell as a share of the size, from the share of full penetration squared."""
    part = np.minimum(filled, 1.0)
    if shape == "slab":
        return np.sqrt(part)
    if shape == "cylinder":
        # 1 - u + u ln u = part, with u the square of the core's share, is a gamma distribution.
        return -np.expm1(-0.5 * gammaincinv(2.0, part))
    # 1 - 3 x^2 + 2 x^3 = part, with x the core's share, is a beta distribution in 1 - x.
    return betaincinv(2.0, 2.0, part)


def _filled(size: Any, concentration: Any, rate: Any, diffusivity: Any, shape: str) -> Any:
    """Return how much of the supply that would feed the whole piece there is."""
    return 2.0 * DIMENSIONS[shape] * diffusivity * concentration / (rate * size**2)


@public(returns="mm", sources=())
def full_penetration_size(
    concentration: Annotated[Amount, FILM_CONCENTRATIONS],
    rate: Annotated[Amount, VOLUMETRIC_RATES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    shape: Annotated[str, OneOf(PIECE_SHAPES)] = "sphere",
) -> Number:
    """Return the largest piece that is fed to its middle: half-thickness or radius, in mm.

    A ball may be nearly twice as thick as a wall, because it is fed from all sides.

    Equation: √(2 D C / k) for a slab (half-thickness), √(4 D C / k) for a cylinder and
    √(6 D C / k) for a sphere (radius).

    Source: the balance of a shell, integrated twice.
    Validity: as `penetration_depth`; bacteria throughout the piece.

    >>> full_penetration_size(Q(8, "mg/L"), Q(20000, "g/m**3/day"), Q(1e-9, "m**2/s")).round(3)
    <Quantity(0.455, 'millimeter')>
    """
    return np.sqrt(2.0 * DIMENSIONS[shape] * diffusivity * concentration / rate)


@public(returns="mm", sources=())
def core_size(
    size: Annotated[Amount, SHAPE_SIZES],
    concentration: Annotated[Amount, FILM_CONCENTRATIONS],
    rate: Annotated[Amount, VOLUMETRIC_RATES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    shape: Annotated[str, OneOf(PIECE_SHAPES)] = "sphere",
) -> Number:
    """Return the half-thickness or radius of the core that gets none, in mm; 0 if there is none.

    Size less core is the shell that works: look at it before paying for thick pieces.

    Equation: with x = core / size and m = 2 n D C / (k size²), n = 1, 2, 3: slab x = 1 - √m;
    cylinder 1 - x² + 2 x² ln x = m; sphere 1 - 3 x² + 2 x³ = m; no core if m >= 1.

    size: Half-thickness of a slab, radius of a cylinder or a sphere.
    Source: the balance of a shell, integrated twice from the core outward, where both the
        concentration and its slope are zero.
    Validity: as `penetration_depth`; bacteria throughout the piece.
    Departures: solved as the quantile of a gamma (cylinder) and a beta distribution (sphere),
        which are the same equations.

    >>> fed = {"concentration": Q(8, "mg/L"), "diffusivity": Q(1e-9, "m**2/s")}
    >>> core_size(Q(5, "mm"), rate=Q(20000, "g/m**3/day"), **fed).round(3)
    <Quantity(4.732, 'millimeter')>
    """
    filled = _filled(size, concentration, rate, diffusivity, shape)
    return size * (1.0 - _shell(filled, shape))


@public(returns="", sources=())
def anoxic_share(
    size: Annotated[Amount, SHAPE_SIZES],
    concentration: Annotated[Amount, FILM_CONCENTRATIONS],
    rate: Annotated[Amount, VOLUMETRIC_RATES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    shape: Annotated[str, OneOf(PIECE_SHAPES)] = "sphere",
) -> Number:
    """Return the share of a piece's volume that gets no oxygen, as a plain fraction 0 to 1.

    A core without oxygen is not yet a core that removes nitrate: it must be fed with carbon.

    Equation: x for a slab, x² for a cylinder, x³ for a sphere, with x = core / size from
    `core_size`.

    size: Half-thickness of a slab, radius of a cylinder or a sphere.
    concentration: Oxygen at the surface.
    rate: How much oxygen a volume of the piece uses in a day.
    Source: geometry and `core_size`.
    Validity: as `core_size`.

    >>> fed = {"concentration": Q(8, "mg/L"), "diffusivity": Q(1e-9, "m**2/s")}
    >>> round(anoxic_share(Q(1, "mm"), rate=Q(20000, "g/m**3/day"), **fed), 3)
    0.353
    """
    filled = _filled(size, concentration, rate, diffusivity, shape)
    return (1.0 - _shell(filled, shape)) ** DIMENSIONS[shape]


@public(returns="", sources=())
def zero_order_effectiveness(
    size: Annotated[Amount, SHAPE_SIZES],
    concentration: Annotated[Amount, FILM_CONCENTRATIONS],
    rate: Annotated[Amount, VOLUMETRIC_RATES],
    diffusivity: Annotated[Amount, DIFFUSIVITIES],
    shape: Annotated[str, OneOf(PIECE_SHAPES)] = "sphere",
) -> Number:
    """Return the share of a piece's bacteria that work at full pace, as a plain fraction 0 to 1.

    If a tenth works, the other nine tenths are weight, not filter.

    Equation: η = 1 - x^n, with x = core / size from `core_size` and n = 1 for a slab, 2 for a
    cylinder, 3 for a sphere.

    size: Half-thickness of a slab, radius of a cylinder or a sphere.
    Source: geometry and `core_size`.
    Validity: as `core_size`.

    >>> fed = {"concentration": Q(8, "mg/L"), "diffusivity": Q(1e-9, "m**2/s")}
    >>> round(zero_order_effectiveness(Q(5, "mm"), rate=Q(20000, "g/m**3/day"), **fed), 3)
    0.152
    """
    filled = _filled(size, concentration, rate, diffusivity, shape)
    shell = _shell(filled, shape)
    # 1 - x^n as (1 - x)(1 + x + ...), so that a thin shell does not drown in rounding.
    return shell * sum((1.0 - shell) ** power for power in range(DIMENSIONS[shape]))
