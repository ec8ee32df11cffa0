"""What to mind of a piece that works until it is full: floss, carbon, resin and their like."""

from __future__ import annotations

from collections.abc import Iterator

from aqualib.tank.inspection.what_it_is import Found
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.other_trays import gives_back
from aqualib.tank.plan.parts import FLOSS, ZEOLITE
from aqualib.tank.plan.spent_in_bags import chemical_bags

THROWN_AWAY = (
    "Floss is thrown away when it is full, and new floss put in: it is not washed for ever "
    "(common practice, no source). It counts as fine as a fine pad, and nothing that lives on it "
    "counts."
)


def to_mind(found: Found, whole: Filled) -> Iterator[str]:
    """Give what it takes, how one sees that it is full, and what could do harm, in words."""
    if found.holds == FLOSS:
        yield THROWN_AWAY
    for bag in chemical_bags().rows:
        if bag.holds != found.holds:
            continue
        yield f"It takes {bag.takes}. It is spent when {bag.spent}."
        if whole.is_sea or (bag.holds == ZEOLITE and gives_back(whole)):
            yield f"In salt water: {bag.in_the_sea}."
        if not (bag.holds == ZEOLITE and gives_back(whole)):
            yield bag.mind
        yield f"Who says so: {bag.said.origin}."
