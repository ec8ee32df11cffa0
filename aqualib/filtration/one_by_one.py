"""Library functions that take one number at a time, here for a number or an array of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np


def one_by_one(function: Callable[..., float], *values: Any) -> Any:
    """Return `function` of each set of numbers: a float for numbers, an array for arrays."""
    if all(np.ndim(value) == 0 for value in values):
        return float(function(*(float(value) for value in values)))
    return np.vectorize(function, otypes=[float])(*values)
