"""What would help most: one change after the other, each by running the whole system again."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from aqualib.tank.plan.best_filling import best_stack
from aqualib.tank.plan.nothing_open import Filled
from aqualib.tank.plan.other_trays import held_bags, in_order, in_the_trays
from aqualib.tank.plan.outside_the_filter import LOST_FLOW, around_the_filter
from aqualib.tank.plan.parts import CARBON
from aqualib.tank.plan.what_it_buys import Change, gains, margin_of
from aqualib.tank.plan.what_it_does import VERDICTS, Outcome


def ranked_changes(whole: Filled, before: Outcome) -> tuple[Change, ...]:
    """Return every change that this system allows, the one that buys most first.

    A flow that got lost is found before anything else is changed, if that gains anything.
    What buys most is what brings a better verdict. Then, while there is not enough, what carries
    more of the food given; then what lasts longer between cleanings, then what holds nitrate
    lower. Changes that gain nothing come last, and stay.
    """
    enough = before.verdict == VERDICTS[0]

    def rank(change: Change) -> tuple[float, ...]:
        found = gains(before, change.after)
        share = margin_of(change.after if found.margin else before)
        mends = change.name == LOST_FLOW and found.any
        return mends, found.steps, 0.0 if enough else share, found.days, found.nitrate, share

    return tuple(sorted(changes_of(whole, before), key=rank, reverse=True))


def changes_of(whole: Filled, before: Outcome) -> Iterator[Change]:
    """Give every change that this system allows."""
    yield from in_the_trays(whole)
    yield from _all_trays_anew(whole)
    yield from around_the_filter(whole, before)


def _all_trays_anew(whole: Filled) -> Iterator[Change]:
    """Fill every tray anew in the best way there is; carbon stays out until a day needs it."""
    best = best_stack(whole)
    sorted_ = whole.with_trays(in_order(whole.places))
    if held_in(best.whole) in {held_in(whole), held_in(sorted_)}:
        return  # as it is, or a mere change of order
    out = "".join(
        f", the {bag} {'kept for a day that needs it' if bag == CARBON else 'out'}"
        for bag in held_bags(whole)
    )
    slowly = "one tray a week where the filter works, old media kept wet and in use"
    yield Change(
        "all trays anew",
        f"Fill all trays anew, in the water's way: {held_in(best.whole)}{out}; {slowly}",
        f"Of {best.tried} fillings that were tried, this one carries most, then lasts longest.",
        "13",
        best.whole,
    )


def held_in(whole: Filled) -> str:
    """Return what stands in the trays in words, in the water's way."""
    runs = [(held, len([*same])) for held, same in groupby(p.holds for p in whole.places)]
    return ", ".join(held if often == 1 else f"{often} trays of {held}" for held, often in runs)
