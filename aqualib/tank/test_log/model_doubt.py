"""How far a real tank may stray from the model, whatever its readings say.

Draws that fit the readings differ as far as the model allows. A real tank is not the model: it
may get ready a little sooner or later than any of them. How much is judged from invented logs that
do not obey the model (`tests/tank/test_log/keepers_logs.py`), not from those it is tested on.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.special import ndtri

from aqualib.parameters import parameter


def doubted(days: Any, last: float) -> Any:
    """Return ready days as they may be in a tank that is not the model.

    What lies ahead of the last reading is stretched or shortened, and no day is sure to the hour.
    A draw that is not ready on the last day does not get ready before it.
    """
    ahead = days > last
    wait = np.where(ahead, days - last, 0.0)
    stretched = wait * np.exp(parameter("log_wait_error").value * _spread(len(days), 1))
    shift = parameter("log_day_error").value * _spread(len(days), 2)
    moved = np.where(ahead, last + stretched, days) + shift
    return np.maximum(moved, np.where(ahead, last, 0.0))


def _spread(count: int, seed: int) -> Any:
    """Return as many even steps of the normal curve, in an order that tells nothing."""
    even = ndtri((np.arange(count) + 0.5) / count)
    return np.random.default_rng(seed).permutation(even)
