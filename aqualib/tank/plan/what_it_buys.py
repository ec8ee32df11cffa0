"""One change, and what it buys: the whole system run again beside what it does now."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.what_it_does import VERDICTS, Outcome, outcome

SAME = 0.005
"""A number that moves by less has not moved."""


@dataclass(frozen=True)
class Change:
    """One change that could be made, in words, and the system with it."""

    name: str
    """A short name by which tests and panels know it."""
    words: str
    why: str
    """What it does, in one sentence."""
    lesson: str
    whole: Filled

    @cached_property
    def after(self) -> Outcome:
        """What the system does after it; it is run when first asked for."""
        return outcome(self.whole)


class Gains(NamedTuple):
    """What a change buys, each as a share of what was there."""

    food: float
    """By which the food carried rises."""
    margin: float
    """By which the food carried over the food given rises."""
    days: float
    """By which the days to cleaning rise."""
    nitrate: float
    """By which nitrate before a water change falls."""
    steps: int
    """How many steps the verdict comes nearer to the best."""

    @property
    def any(self) -> bool:
        """Whether anything is gained."""
        return max(self) > 0.0


def gains(before: Outcome, after: Outcome) -> Gains:
    """Return what is gained from one outcome to the other."""
    return Gains(
        food=_more(before.carried.feed.best, after.carried.feed.best),
        margin=_more(margin_of(before), margin_of(after)),
        days=_more(before.due, after.due),
        nitrate=_more(after.nitrate_peak, before.nitrate_peak),
        steps=VERDICTS.index(before.verdict) - VERDICTS.index(after.verdict),
    )


def margin_of(found: Outcome) -> float:
    """Return the food carried over the food given; where none is given, all of it."""
    carried = float(found.carried.feed.best)
    return carried / found.given if found.given else carried


def _more(old: float, new: float) -> float:
    """Return the gain as a share; what hardly moves has not moved."""
    if math.isinf(old) or math.isinf(new):
        return 0.0 if old == new else math.copysign(1.0, new - old)
    share = (new - old) / old if old else float(new > 0.0)
    return share if abs(share) >= SAME else 0.0
