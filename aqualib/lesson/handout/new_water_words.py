"""Nitrate and alkalinity in words: the one change of water that is advised, and the soda."""

from __future__ import annotations

import math

from aqualib.lesson.handout.layers import told, weight
from aqualib.parameters import parameter
from aqualib.tank.load import ammonia_production
from aqualib.tank.plan import VERDICTS, FilterPlan
from aqualib.tank.plan.new_water import DAYS_A_WEEK, KEEPER, NITRATE
from aqualib.tank.upkeep import bicarbonate_bill
from aqualib.units import SECONDS_PER_DAY, number, shown


def nitrate_words(plan: FilterPlan) -> str:
    """Return where nitrate comes to, and the one change of water that is advised."""
    limit, peak = told(plan.changing.limit, "mg/L"), plan.changing.peak
    if math.isinf(peak):
        return f"climbs without end, for no water is changed (limit {limit}). {water_words(plan)}"
    now = told(peak, "mg/L", 3)
    return f"comes to {now} (as nitrate) before a change as done now. {water_words(plan)}"


def water_words(plan: FilterPlan) -> str:
    """Return the change of water that the plan advises: the calendar asks for the same."""
    return f"{_advised(plan)}{_small_words(plan)}{_salt_words(plan)}"


def _salt_words(plan: FilterPlan) -> str:
    """Return what new water of a salty tank needs, and what takes the place of vapour."""
    if not plan.whole.salinity:
        return ""
    salt = number(plan.whole.salinity)
    return (
        f" Make new water up to salinity {salt} a day before; what has turned to vapour left its "
        "salt behind, so top up with water that has none."
    )


def _advised(plan: FilterPlan) -> str:
    found, limit = plan.changing, told(plan.changing.limit, "mg/L")
    each = f"{_share_of(plan, found.share)} every {every_so_many(found.every)}"
    steps = "; never more than half at once" if found.every < parted(plan) else ""
    if found.ground == NITRATE:
        return f"To hold {limit} change {each}{steps}."
    if found.ground == KEEPER:
        weekly = told(found.weekly, "L", 3)
        return f"{weekly} a week would hold {limit}: less than {each} is your choice{steps}."
    go_on = f", and go on with {each}{steps}" if found.share else ""
    return f"No weekly change holds {limit}: feed less{go_on}."


def parted(plan: FilterPlan) -> float:
    """Return the days below which a change is one of several steps."""
    habit = plan.whole.change_every / SECONDS_PER_DAY
    return DAYS_A_WEEK if plan.changing.ground == NITRATE else math.floor(habit + 0.5)


def _small_words(plan: FilterPlan) -> str:
    found, weeks = plan.changing, number(parameter("small_change_weeks").value)
    if not found.small:
        return ""
    small = f"{_share_of(plan, found.small)} every {every_so_many(found.small_every)}"
    return (
        f" But begin with {small} for {weeks} weeks, and test ammonia, pH and alkalinity first: a "
        "tank that stood high bears no large change."
    )


def _share_of(plan: FilterPlan, share: float) -> str:
    return f"{told(share * plan.whole.volume, 'L', 3)} ({number(100.0 * share, 2)} %)"


def every_so_many(count: int) -> str:
    """Return how often, after the word every."""
    return "day" if count == 1 else f"{count} days"


def alkalinity_words(plan: FilterPlan) -> str:
    """Return what bacteria use up of it in a week, and the soda that makes up for it.

    They turn over no more than the filter carries at best. Where that is too little, or the tank
    was told to hold enough, there is no soda: it would pile up.
    """
    whole, held = plan.whole, parameter("alkalinity_held")
    carried = min(whole.feed, float(plan.now.carried.feed.high))
    made = float(ammonia_production.bare(carried, whole.protein))
    new = plan.changing.share * whole.volume / (plan.changing.every * SECONDS_PER_DAY)
    tap = parameter("tap_alkalinity")
    bill = bicarbonate_bill.bare(made, new, held.bare, tap.bare)
    week = DAYS_A_WEEK * SECONDS_PER_DAY
    used = f"bacteria use up {weight(float(bill.used) * week)} a week (as CaCO3). Test it weekly"
    if plan.whole.is_sea:
        return f"{used}, and hold what sea water has."
    if plan.asks_small_steps:
        return f"{used}. {NO_SODA_HERE}"
    low = shown(held.value, held.unit)
    soda = float(bill.bicarbonate) * week
    step = parameter("alkalinity_step")
    enough = plan.system.water.gives("alkalinity") and whole.alkalinity >= held.bare
    daily = float(bill.used - bill.brought) * SECONDS_PER_DAY / whole.volume
    if enough or soda < LEAST_SODA or plan.verdict == VERDICTS[-1] or daily > step.bare:
        return f"{used}: below {low} test ammonia, then see lesson 14, “the pH sinks”."
    return (
        f"{used}. With tap water of {shown(tap.value, tap.unit)} (assumed) {weight(soda)} of "
        f"baking soda a week, in daily parts, holds {low}; test ammonia first; at most "
        f"{shown(step.value, step.unit)} a day. Animals of soft, sour water are kept without."
    )


NO_SODA_HERE = (
    "In such water soda lifts the pH too: test ammonia first, then see lesson 14, “the pH sinks”."
)
LEAST_SODA = 1e-4
"""Kilograms a week: a pinch, and less than the doubt of the sum."""
