"""What a powder of one size tells of a pad: the law of its catch, solved for the cut size."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from aqualib.edge import public
from aqualib.filtration.capture.settling import SINKING_SIZES
from aqualib.units import Amount, Number
from aqualib.validity import Range


@public(returns="um", sources=())
def cut_size_from_catch(
    diameter: Annotated[Amount, SINKING_SIZES],
    held: Annotated[Number, Range(0.001, 0.999)],
    sharpness: Annotated[Number, Range(0.1, 10)] = 2.0,
    depth_ratio: Annotated[Number, Range(0.01, 1000)] = 1.0,
) -> Number:
    """Return the cut size of a pad that holds this share of a powder of one size, in µm.

    The kitchen has the sieve set: what holds half of the flour is a pad for dirt as fine as flour.

    Equation: d50 = d (ln 2 / (λ L) · L / L0)^(1/m), with λ L = -ln(1 - E).

    diameter: d, of the powder.
    held: E, the share that stays in the pad.
    sharpness: m, as in `grade_efficiency`.
    depth_ratio: L / L0, the pad's depth over the one for which d50 is meant.
    Source: the law of `grade_efficiency`, solved for its cut size; its shape is assumed.
    Validity: wetted grains of one size that do not cling together, poured once; a powder that is
        sieved out, all of it, only sets a bound.

    >>> cut_size_from_catch(Q(70, "um"), 0.5)
    <Quantity(70.0, 'micrometer')>
    """
    strength = -np.log1p(-held)
    return diameter * (np.log(2.0) * depth_ratio / strength) ** (1.0 / sharpness)
