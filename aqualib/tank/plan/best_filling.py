"""The best filling of the trays that a filter has: each is tried, and what it does compared."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.other_trays import own_kind
from aqualib.tank.plan.parts import PADS, SETTLING
from aqualib.tank.plan.trays import Place, full_of
from aqualib.tank.plan.what_it_buys import SAME
from aqualib.tank.plan.what_it_does import Outcome, outcomes

MOST_OF_A_GRADE = 2
"""Pads of one grade that are tried; a third adds depth where hardly any dirt arrives."""


class Stack(NamedTuple):
    """A filling of the trays, what it does, and how many were tried to find it."""

    whole: Filled
    does: Outcome
    tried: int


@lru_cache(maxsize=16)
def best_stack(whole: Filled) -> Stack:
    """Return the filling of the trays there are that carries most food, then lasts longest.

    Each tray may hold settling space, a pad or the media that the filter has most of; all stand
    in the order of the grain, because order changes the days and not what is caught. One tray at
    least keeps media: pads are rinsed and wear out, media stay (common practice, no source).
    Carbon and other chemical media stay out: they are for a day on which they are needed.
    """
    tried = outcomes(_fillings(whole))
    most = max(does.carried.feed.best for does in tried.values())
    # What carries as much as the best, within what hardly moves, may last longer.
    good = [one for one, does in tried.items() if does.carried.feed.best >= (1.0 - SAME) * most]
    found = max(good, key=lambda one: tried[one].due)
    return Stack(found, tried[found], len(tried))


def _fillings(whole: Filled) -> Iterator[Filled]:
    kind = own_kind(whole)
    count = len(whole.places)
    heights = sorted((place.height for place in whole.places), reverse=True)
    least_media = min(1, count - 1)
    grades = range(MOST_OF_A_GRADE + 1)
    for settles, *pads in product((0, 1), grades, grades, grades):
        media = count - settles - sum(pads)
        if media >= least_media and any(pads):
            stages = [SETTLING] * settles
            for grade, often in zip(PADS, pads, strict=True):
                stages += [grade] * often
            # Media take the tallest trays: a deep pad holds little more, its face is as large.
            rest = heights[media:]
            places = [Place(holds, high, 0.0) for holds, high in zip(stages, rest, strict=True)]
            places += [full_of(kind, high, whole.floor) for high in heights[:media]]
            yield whole.with_trays(places)._replace(carbon=0.0)
