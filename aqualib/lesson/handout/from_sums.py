"""The care of a tank as the sums of its plan have it: nothing here is typed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from aqualib.filtration.ultraviolet import service_hours
from aqualib.parameters import parameter
from aqualib.tank.plan import FilterPlan
from aqualib.tank.plan.parts import SETTLING
from aqualib.tank.upkeep import evaporation
from aqualib.tank.upkeep.calendar import FIRST_YEAR, MOST_DAYS, WATER
from aqualib.units import SECONDS_PER_DAY, Q, from_si

WEEK = 7
TOP_UP = 2
"""Days between two times of topping up."""
GRADES = ("coarse", "medium", "fine")


def care_of(plan: FilterPlan) -> dict[str, Any]:
    """Return what `usual_tasks` asks, for the tank of a plan.

    Pads are due after the days that the plan's sum counts on, or sooner where their working face
    is half full sooner, and after the longest time of the trade at the latest, because dirt rots.
    The settling space is emptied with them. Media are cleaned a part at a time. Carbon is due when
    half of its effect is gone, the lamp when its hours are over; the water is changed as the plan
    advises it.
    """
    return {
        "test_every": WEEK,
        **_water(plan),
        **_top_up(plan),
        **{f"rinse_{grade}_every": day for grade, day in pads_due(plan).items()},
        **_settling(plan),
        **_media(plan),
        **_carbon(plan),
        **_lamp(plan),
    }


def _water(plan: FilterPlan) -> dict[str, Any]:
    """Return the water to be changed, if any."""
    litres = from_si(plan.changing.share * plan.whole.volume, "L")
    if not WATER.holds(litres):
        return {}
    return {"change": Q(litres, "L"), "change_every": plan.changing.every}


def _top_up(plan: FilterPlan) -> dict[str, Any]:
    """Return the water that evaporates, where the open surface is known and loses any to speak of.

    What leaves in a day is worked out; the calendar tells what leaves in `TOP_UP` days.
    """
    gone = from_si(float(evaporation.bare(plan.whole.surface)) * SECONDS_PER_DAY, "L")
    if not WATER.holds(gone):
        return {}
    return {"top_up": Q(gone, "L"), "top_up_every": TOP_UP}


def cleaned_every(plan: FilterPlan) -> int:
    """Return the days from one cleaning to the next at the latest.

    They are those on which the headline counts, so that who follows the calendar keeps to it; but
    no longer than the trade has it, because dirt rots.
    """
    row = parameter("filter_cleaning")
    return _days(min(plan.whole.clean_every, row.to_base(row.high)))


def pads_due(plan: FilterPlan) -> dict[str, int]:
    """Return the days until each grade of pad is rinsed: when a cleaning or its face is due.

    Of two pads of one grade the earlier counts.
    """
    usual = cleaned_every(plan)
    return {grade: min(usual, _days(min(due))) for grade, due in _faces(plan)}


def _faces(plan: FilterPlan) -> Iterator[tuple[str, list[float]]]:
    """Give each grade that the filter has, and when the faces of its pads are half full."""
    for grade in GRADES:
        if plan.whole.holding(f"{grade} pad"):
            due = (when for name, when in plan.now.due_of.items() if name.split()[0] == grade)
            yield grade, [math.inf, *due]


def _settling(plan: FilterPlan) -> dict[str, Any]:
    """Return when the settling space is emptied: when it is due, or with a cleaning."""
    if not plan.whole.holding(SETTLING):
        return {}
    due = (when for name, when in plan.now.due_of.items() if name.startswith("settling"))
    return {"settling_every": min(cleaned_every(plan), _days(min([math.inf, *due])))}


def _media(plan: FilterPlan) -> dict[str, Any]:
    """Return the part of the media that is cleaned at one time, and how often."""
    if not plan.whole.media:
        return {}
    days = round(parameter("media_part_interval").bare / SECONDS_PER_DAY)
    return {"media_share": float(parameter("media_part").bare), "media_every": days}


def _carbon(plan: FilterPlan) -> dict[str, Any]:
    if not plan.whole.carbon:
        return {}
    days = parameter("carbon_change_rule").value * SECONDS_PER_DAY
    half = plan.carbon_halved
    every = _days(half if math.isfinite(half) else days)
    return {"carbon": Q(from_si(plan.whole.carbon, "g"), "g"), "carbon_every": every}


def _lamp(plan: FilterPlan) -> dict[str, Any]:
    """Return how long a lamp lasts, and since when it has burnt."""
    whole = plan.whole
    if not whole.lamp_power:
        return {}
    share = whole.lamp_hours_a_day / SECONDS_PER_DAY
    lit = timedelta(min(round(whole.lamp_hours / share / SECONDS_PER_DAY), MOST_DAYS))
    return {
        "lamp_every": _days(float(service_hours.bare()) / share),
        "lamp_since": max(plan.start - lit, date(FIRST_YEAR, 1, 1)),
    }


def _days(seconds: float) -> int:
    """Return whole days, as a calendar can repeat them: at least one."""
    return max(1, math.floor(min(seconds / SECONDS_PER_DAY, MOST_DAYS)))
