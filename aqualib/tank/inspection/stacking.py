"""How to stack a filter: its trays put in order, and the one that came out of its box."""

from __future__ import annotations

from functools import lru_cache

from aqualib.files import data_file
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.other_trays import in_order
from aqualib.tank.plan.system import System
from aqualib.tank.plan.what_it_does import Outcome, outcome
from aqualib.tank.plan.written import from_json


@lru_cache(maxsize=1)
def as_bought() -> System:
    """Return an invented filter as it may come out of its box, on the tank of the lessons."""
    return from_json(data_file("as_bought.json").read_text(encoding="utf-8"))


@lru_cache(maxsize=512)
def remembered_outcome(whole: Filled) -> Outcome:
    """Return what a system does; the same trays are asked for again and again."""
    return outcome(whole)


def put_in_order(whole: Filled) -> Filled:
    """Return the same trays, the same things in them, in the order of the grain."""
    return whole.with_trays(in_order(whole.places))
