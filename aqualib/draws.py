"""Doubt: sets of numbers drawn from the ranges of their rows, and what share of results lies where.

Half of the draws of a row lie below its value and half above; on either side the density falls in
a straight line, on a logarithmic scale, to nothing at the end of the range. Rows are drawn
independently of one another (an assumption).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

import numpy as np

from aqualib.parameters import parameter

LOW, MIDDLE, HIGH = 0.05, 0.5, 0.95
"""Shares of the sets that lie below the ends and the middle of a band."""


class Span(NamedTuple):
    """A number with its range: low, best and high."""

    low: Any
    best: Any
    high: Any


class Band(NamedTuple):
    """5, 50 and 95 of 100 draws lie below these."""

    low: Any
    middle: Any
    high: Any


def drawn(rows: Iterable[str], size: int, random: np.random.Generator) -> dict[str, Any]:
    """Return `size` sets of these rows by Latin hypercube, each in the unit of its row."""
    sets = {}
    for name in rows:
        shares = (random.permutation(size) + random.random(size)) / size
        sets[name] = at_share(name, shares)
    return sets


def at_share(name: str, share: Any) -> Any:
    """Return the value of a row that a share (0 to 1) of its draws lie below."""
    row = parameter(name)
    return between(row.low, row.value, row.high, share)


def between(low: Any, value: Any, high: Any, share: Any) -> Any:
    """Return what a share (0 to 1) of the draws lie below, for a range or for many."""
    towards = np.sqrt(2.0 * np.minimum(share, 1.0 - share))
    end = np.where(share < 0.5, np.log(low), np.log(high))
    return np.exp((1.0 - towards) * end + towards * np.log(value))


def percentile(values: Any, share: float) -> float:
    """Return the value that a share of the values lie below, by a straight line between two."""
    return _at_place(values, share * (len(values) - 1))


def of_the_next(values: Any, share: float) -> float:
    """Return the value below which one draw more lies with this chance."""
    return _at_place(values, share * (len(values) + 1) - 1)


def band(values: Any) -> Band:
    """Return the band of each row of values (one column a set), as `percentile` does."""
    last = values.shape[1] - 1
    places = [share * last for share in Band(LOW, MIDDLE, HIGH)]
    below = [int(place) for place in places]
    above = [min(place + 1, last) for place in below]
    ordered = np.partition(values, sorted({*below, *above}), axis=1)
    return Band(
        *(
            ordered[:, b] + (place - b) * (ordered[:, a] - ordered[:, b])
            for place, b, a in zip(places, below, above, strict=True)
        )
    )


def nearest(values: Any, share: float) -> Any:
    """Return, of draws along the first axis, the one nearest to a share: no mean of two."""
    ordered = np.sort(values, axis=0)
    return ordered[round(share * (len(ordered) - 1))]


def span(best: float, values: Any) -> Span:
    """Return the span of a result: the draws that a share of all lie below, and its best value."""
    ordered = np.sort(values)
    low, high = (ordered[int(share * len(ordered))] for share in (LOW, HIGH))
    return Span(float(min(low, best)), float(best), float(max(high, best)))


def _at_place(values: Any, place: float) -> float:
    """Return the value at a place between ranks; with no mean of finite and infinite."""
    ordered = np.sort(values)
    last = len(ordered) - 1
    below = int(np.clip(np.floor(place), 0, last))
    low, high = float(ordered[below]), float(ordered[min(below + 1, last)])
    if place <= below or low == high:
        return low
    return low + (place - below) * (high - low) if np.isfinite(high) else high
