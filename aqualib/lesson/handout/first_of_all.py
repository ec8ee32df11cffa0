"""What stands at the head of a plan: alarms, what is carried, the verdict, and what to do first."""

from __future__ import annotations

import math

from aqualib import __version__
from aqualib.lesson.handout.from_sums import cleaned_every
from aqualib.lesson.handout.layers import grams, told
from aqualib.tank.plan import FilterPlan
from aqualib.tank.plan.outside_the_filter import LOST_FLOW
from aqualib.tank.plan.what_it_does import NO_VERDICT, VERDICTS
from aqualib.tank.sizing import LIMITS
from aqualib.units import SECONDS_PER_DAY, number

ACTIONS = {
    "comfortable": "Bacteria and pads do it, even if all that is uncertain goes against you.",
    "tight": "It may do or not: feed no more, and test each week.",
    "too much": "Feed less, or change the filter, before it comes to harm.",
}
"""A verdict -> what it means and asks."""
NOT_YOURS = "Neither food nor fish was told, so this is the lessons' tank, not yours."
NO_FILTER = "What stands in the filter was not told, so this is the lessons' filter, not yours."
NONE = "No verdict."
BEFORE = "Before anything else"


def byline(plan: FilterPlan) -> str:
    """Return date, water and version."""
    return (
        f"Plan of {plan.start} · {told(plan.whole.volume, 'L', 3)} of {plan.whole.water_name} · "
        f"aqualib {__version__} · no promise"
    )


def verdict(plan: FilterPlan) -> str:
    """Return the verdict on what the keeper gives, or that there is none."""
    return plan.verdict if plan.is_judged else NO_VERDICT


def alarms(plan: FilterPlan) -> tuple[str, ...]:
    """Return what the last readings ask for before any plan, each with what to do tonight."""
    return tuple(f"{one.words} {one.tonight}" for one in plan.readings)


def in_short(plan: FilterPlan) -> str:
    """Return the top line: what the filter carries, what limits, what is given, and the verdict."""
    low, best, high = (grams(end) for end in plan.now.carried.feed)
    carries = (
        f"{best} g of food a day (from {low} to {high}), limited by the {LIMITS[plan.limiting]}"
    )
    if plan.is_judged:
        return f"Carries {carries}. {given(plan)}: {plan.verdict}."
    if not plan.tells_filter:
        return f"{NO_FILTER} Such a filter carries {carries}. {NONE}"
    if not plan.tells_food:
        return f"{NOT_YOURS} Such a filter carries {carries}. {NONE}"
    return f"Carries {carries}. No food is given: no verdict."


def given(plan: FilterPlan) -> str:
    """Return the food of a day, and say so where it was worked out from the fish."""
    food = grams(plan.whole.feed)
    if not plan.system.stock.gives("food"):
        return f"The food was not told; such fish eat some {food} g a day"
    return f"You give {food} g a day"


def action(plan: FilterPlan) -> str:
    """Return what the verdict means and asks, with what it does not speak of."""
    if not plan.is_judged:
        return ""
    return f"{ACTIONS[plan.verdict]}{_but_nitrate(plan)}"


def _but_nitrate(plan: FilterPlan) -> str:
    """Return that bacteria and pads hold no nitrate down, where it passes its limit."""
    found = plan.changing
    if plan.verdict == VERDICTS[-1] or found.peak <= found.limit:
        return ""
    if math.isinf(found.peak):
        return " But nitrate climbs without end: change water as below."
    return f" But nitrate comes to {told(found.peak, 'mg/L')}: change water as below."


def interval_words(plan: FilterPlan) -> str:
    """Return the one cleaning interval on which headline and calendar count."""
    counted, kept = plan.whole.clean_every / SECONDS_PER_DAY, cleaned_every(plan)
    who = "as you told" if plan.system.care.gives("clean_every") else "assumed"
    days = "day" if counted == 1.0 else f"{number(counted)} days"
    words = f"The sum counts on a cleaning every {days} ({who})"
    if kept < math.floor(counted):
        return f"{words}; the calendar has it every {kept}, because dirt rots."
    return f"{words}; so does the calendar, or sooner where a face is half full."


def first_thing(plan: FilterPlan) -> str:
    """Return the first thing to do; where the readings ask for something, what they ask."""
    if plan.readings:
        return f"{BEFORE}, see the readings above."
    if plan.now.flow_due <= 0.0:
        lamp = "switch the lamp off, and " if plan.whole.lamp_power else ""
        return f"First: {lamp}{NO_FLOW}"
    if not plan.tells_filter:
        return "First: open the filter, and tell what is in it (lesson 13); until then test daily."
    if not plan.is_judged:
        return "First: weigh the food of a week, and tell it; until then act on tests alone."
    first = _kept(plan) if plan.verdict == VERDICTS[0] else _better(plan)
    return f"First: {first[0].lower()}{first[1:]}."


def _kept(plan: FilterPlan) -> str:
    """Return what a filter with room asks for."""
    best = plan.best_change
    if best and best.name == LOST_FLOW:
        return best.words
    high = plan.changing.peak > plan.changing.limit
    return f"{'change water as below' if high else 'nothing has to change'}; keep testing"


def _better(plan: FilterPlan) -> str:
    """Return what buys most, or else what is worth measuring; say so where no change is enough."""
    carried, tried = plan.now.carried.feed, plan.changes
    too_much = plan.verdict == VERDICTS[-1]
    if too_much and tried and all(one.after.verdict == plan.verdict for one in tried):
        low, high = grams(carried.low), grams(carried.high)
        times = number(plan.whole.feed / carried.best, 2) if carried.best else "many"
        return (
            f"feed {low} g a day, {high} g at most, or use filters {times} times as large: no one "
            "change below is enough. Until then test daily"
        )
    if plan.best_change:
        return plan.best_change.words
    return plan.unknowns[0].measure if plan.unknowns else "Test as the calendar says"


NO_FLOW = (
    "get water to flow: lower the outlet, or take a pump with more head; without flow the bacteria "
    "die within hours (lesson 14)."
)
