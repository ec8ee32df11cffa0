"""The care of what works until it is full: floss is thrown away, bags are tested."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date, timedelta

from aqualib.lesson.handout.from_sums import WEEK, cleaned_every
from aqualib.tank.plan import FilterPlan, chemical_bags
from aqualib.tank.plan.parts import CARBON, FLOSS
from aqualib.tank.upkeep.calendar import RINSE, UNPLUG, Task
from aqualib.units import SECONDS_PER_DAY


def floss_and_bags(plan: FilterPlan, first: date) -> Iterator[Task]:
    """Give the tasks of floss and of chemical media; the calendar has a task for carbon."""
    if plan.whole.holding(FLOSS):
        every = _floss_due(plan)
        yield Task(
            "Put new floss in and throw the old away",
            first + timedelta(every),
            every,
            f"{RINSE} Floss that is rinsed clumps, so it is not used again (common practice, no "
            f"source). {UNPLUG}",
        )
    for bag in chemical_bags().rows:
        if bag.holds != CARBON and plan.whole.holding(bag.holds):
            yield Task(
                f"Test the water before the {bag.holds} and behind it",
                first + timedelta(WEEK),
                WEEK,
                f"It is spent when {bag.spent}. {bag.mind}",
            )


def _floss_due(plan: FilterPlan) -> int:
    """Return the days until the first floss is half full on its face, or is cleaning day."""
    due = [when for name, when in plan.now.due_of.items() if name.startswith(FLOSS)]
    days = min([math.inf, *due]) / SECONDS_PER_DAY
    return max(1, math.floor(min(days, cleaned_every(plan))))
