"""How a day is said: with its width, and no finer than it is known."""

from __future__ import annotations

import numpy as np

from aqualib.draws import Band


def day_and_width(ready: Band) -> str:
    """Return the middle of the band and half its width, or where it begins if it has no end."""
    low, middle, high = ready
    if np.isinf(low):
        return "not within sight"
    if np.isinf(high):
        return f"not before day {low:.0f}, its end open"
    centre, half = (low + high) / 2.0, (high - low) / 2.0
    if half < 0.25:
        centre, half = middle, 0.25
    return f"day {centre:.0f}, ± {_days(half)}"


def _days(half: float) -> str:
    if half < 0.75:
        return "½ day"
    return "1 day" if half < 1.5 else f"{two_figures(half)} days"


def two_figures(value: float) -> str:
    """Return a number to two figures: what is beyond is not known better."""
    rounded = float(f"{value:.1e}")
    return f"{rounded:.0f}" if rounded >= 10.0 else f"{round(rounded):d}"
