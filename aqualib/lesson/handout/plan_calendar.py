"""A plan as an iCalendar file: of a filter that runs, or of a new one with its dated start."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

from aqualib.lesson.handout.icalendar import as_icalendar
from aqualib.lesson.handout.reminders import of_a_new_filter, of_a_running_filter
from aqualib.tank.plan import FilterPlan
from aqualib.validity import ValidityError


def as_plan_calendar(
    plan: FilterPlan, until: date, stamp: datetime | None = None, *, new: bool = False
) -> str:
    """Return a plan as an iCalendar file up to a day, with reminders.

    That of a filter that runs has its care alone. That of a `new` one has the dated start, and the
    care from GO on. `stamp` is when the file was made; left out, noon of the plan's day.
    """
    made = datetime.combine(plan.start, time(12), UTC) if stamp is None else stamp
    asked = of_a_new_filter(plan) if new else of_a_running_filter(plan)
    if not asked:
        why = "cannot be dated: the sum finds no day on which such a filter is ready"
        raise ValidityError("plan", "of a new filter", "one with a day of GO", "", why)
    tasks = [task for task in asked if task.first <= until]
    kind = "New filter" if new else "Filter plan"
    return as_icalendar(tasks, made, until, f"{kind}: {plan.system.name}")
