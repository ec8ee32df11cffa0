"""What the last lessons add to the sheet of the running tank: stack, power cut and plan."""

from __future__ import annotations

from datetime import date

from aqualib.parameters import parameter
from aqualib.tank.inspection import as_bought, remembered_outcome
from aqualib.tank.plan import (
    best_stack,
    example_system,
    filled,
    make_plan,
)
from aqualib.tank.symptoms import diagnose
from aqualib.units import Q, show

ANY_DAY = date(2030, 3, 2)
"""A plan needs a start; nothing that the sheet tells hangs on it."""


def stack_line() -> str:
    """Return what another filter on our tank would carry, as bought and stacked anew."""
    bought, _ = filled(as_bought())
    ends = (remembered_outcome(bought), best_stack(bought).does)
    before, after = (show(Q(float(e.carried.feed.best), "kg/s").to("g/day"), 2) for e in ends)
    return (
        f"Another filter, invented too, would carry {before} on it as bought, and {after} with "
        "the same trays stacked anew."
    )


def cut_line() -> str:
    """Return for how long there is oxygen in filter and tank after a power cut."""
    known = {"hours_stood": Q(0, "h"), "temperature": parameter("tank_temperature").quantity}
    hours = diagnose("power cut", **known).amounts
    early, late, tank = (show(hours[name], 2) for name in ("early", "late", "tank"))
    filled = f"has oxygen for {early} to {late}; the tank, as at night, for {tank}"
    return f"In a power cut the closed filter {filled}."


def plan_line() -> str:
    """Return what the plan of our tank says first."""
    plan = make_plan(example_system(), ANY_DAY, doubt=False)
    best = plan.best_change
    helps = f"what buys most: {best.words.lower()}" if best else "no change gains anything"
    return f"Its plan: {show(plan.given)} of food is {plan.verdict} for this filter; {helps}."
