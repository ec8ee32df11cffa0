"""Many sets of parameters at once: a stiff solver in which every set keeps its own step.

All sets move together through one pass of array operations, but each has its own time and its own
step length, so a set that is at rest is not slowed by one that is at its steepest. The method is
RODAS3 (order 3, error estimate of order 2; Sandu et al. 1997, coefficients from memory and checked
by their order conditions in the tests), with an analytic Jacobian in blocks: for each group of
bacteria the two populations are eliminated by hand, and two equations in ammonia and nitrite are
left. Results between steps come from cubic Hermite curves.

First index 0 is ammonia and its oxidisers, 1 nitrite and its oxidisers. Film is a logarithm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

TOLERANCE = 2e-3
FIRST_STEP = 0.05
MOST_STEPS = 20000
MARGIN, SLOWEST, FASTEST = 0.85, 0.2, 4.0
SMALL = 0.05
"""mg/L; errors in ammonia and nitrite count relative to this or to what is there."""
GAMMA = 0.5


@dataclass(slots=True)
class Sets:
    """The coefficients of the sets that are still on their way."""

    growth: Any
    half: Any
    slows_itself: Any
    slowed_by_other: Any
    share: Any
    """Of total ammonia, or of nitrite, that slows: un-ionised ammonia and nitrous acid."""
    food_share: Any
    per_full: Any
    decay: Any
    dies: Any
    attach: Any
    detach: Any
    need: Any
    per_a: Any
    per_n: Any
    nitrogen: Any
    alkalinity: Any
    half_alkalinity: Any
    ammonia_shape: Any
    acid_shape: Any

    def only(self, keep: Any) -> Sets:
        """Return the sets chosen by `keep`."""
        return Sets(*(_only(getattr(self, name), keep) for name in self.__slots__))


def _only(value: Any, keep: Any) -> Any:
    return value[..., keep] if np.ndim(value) else value
