"""Re-opened next month: what changed between two plans, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from aqualib.lesson.handout.first_of_all import BEFORE
from aqualib.lesson.handout.plan_numbers import WrittenPlan, written
from aqualib.tank.plan import FilterPlan, System, as_table
from aqualib.tank.plan.nothing_open import filled
from aqualib.tank.plan.parts import Part, Tray
from aqualib.tank.plan.readings import alarms
from aqualib.tank.plan.system import PARTS
from aqualib.tank.plan.what_it_buys import SAME
from aqualib.tank.plan.written import keys_of
from aqualib.tank.sizing import LIMITS
from aqualib.units import number, shown
from aqualib.validity import Range

SAID = {
    "food_carried_g_per_day": ("The filter carries", "g/day"),
    "food_given_g_per_day": ("You give", "g/day"),
    "flow_due_L_per_h": ("The flow with pads that are due is", "L/h"),
    "cleaning_due_days": ("The first pad is due after", "day"),
    "nitrate_mg_per_L": ("Nitrate comes to", "mg/L"),
    "media_kg": ("The media weigh", "kg"),
    "cost_per_year": ("Power costs a year", ""),
}
"""A number of a plan -> how it is said, and its metric unit."""
NOTHING = "Nothing has changed."


def what_changed(old: FilterPlan | WrittenPlan, new: FilterPlan | WrittenPlan) -> tuple[str, ...]:
    """Return in words what changed from one plan to the next: first what it means, then what made.

    Either may be a plan or one that was read from its file.
    """
    before, after = _written(old), _written(new)
    found = (
        *_alarms(after),
        *_meaning(before, after),
        *_numbers(before, after),
        *_told(before, after),
    )
    return found or (NOTHING,)


def _alarms(after: WrittenPlan) -> Iterator[str]:
    """Give what the new readings ask for before anything else."""
    for alarm in alarms(after.system, filled(after.system)[0]):
        yield f"{BEFORE}: {alarm.words} {alarm.tonight}"


def _written(plan: FilterPlan | WrittenPlan) -> WrittenPlan:
    return written(plan) if isinstance(plan, FilterPlan) else plan


def _meaning(before: WrittenPlan, after: WrittenPlan) -> Iterator[str]:
    old, new = before.words, after.words
    if old["verdict"] != new["verdict"]:
        yield f"The verdict was “{old['verdict']}”, now it is “{new['verdict']}”."
    if old["limiting"] != new["limiting"]:
        was, now = (LIMITS.get(one["limiting"], one["limiting"]) for one in (old, new))
        yield f"What limits was the {was}, now it is the {now}."
    if old["best_change"] != new["best_change"]:
        now_best = new["best_change"] or "none gains anything"
        yield f"The change that buys most is now: {now_best}."


def _numbers(before: WrittenPlan, after: WrittenPlan) -> Iterator[str]:
    for name, (said, unit) in SAID.items():
        old, new = before.numbers[name], after.numbers[name]
        if _moved(old, new):
            yield f"{said} {_shown(new, unit)}; before, {_shown(old, unit)}."


def _moved(old: float, new: float) -> bool:
    if math.isfinite(old) and math.isfinite(new):
        return abs(new - old) > SAME * max(abs(old), abs(new))
    return not (old == new or (math.isnan(old) and math.isnan(new)))


def _shown(value: float, unit: str) -> str:
    if math.isfinite(value):
        return shown(value, unit) if unit else number(value)
    return "no end" if math.isinf(value) else "nothing known"


def _told(before: WrittenPlan, after: WrittenPlan) -> Iterator[str]:
    """Give what the keeper told otherwise, in the words of a keeper."""
    old, new = (dict(_fields(plan.system)) for plan in (before, after))
    for name in {**old, **new}:
        if old.get(name) != new.get(name):
            said, was = (table.get(name, "left open") for table in (new, old))
            yield f"You told {name}: {said}; before, {was}."


def _fields(system: System) -> Iterator[tuple[str, str]]:
    """Give every field that was told: its name in words, and its value in the reader's units."""
    table = as_table(system)
    for name in ("name", "currency"):
        if name in table:
            yield name, str(table[name])
    for name, kind in PARTS.items():
        if name in table:
            yield from _of_part(name, kind, table[name])


def _of_part(said: str, kind: type[Part], table: dict[str, Any]) -> Iterator[tuple[str, str]]:
    fields, rules = keys_of(kind), kind.rules()
    if not table:
        yield said, "there is one"
    for key, value in table.items():
        field = fields[key]
        if isinstance(value, list):
            for at, tray in enumerate(value, start=1):
                yield from _of_part(f"{said}, tray {at}", Tray, tray)
            continue
        rule = rules[field]
        unit = rule.unit if isinstance(rule, Range) else ""
        words = shown(value, unit) if unit else str(value)
        yield f"{said}: {field.replace('_', ' ')}", words
