"""A plan as an iCalendar file: the dated start, once, and the care, again and again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time

from aqualib.lesson.handout.icalendar import as_icalendar
from aqualib.lesson.handout.plan_words import dated_steps, tasks_of
from aqualib.tank.plan import FilterPlan
from aqualib.tank.upkeep import Task
from aqualib.tank.upkeep.calendar import MOST_DAYS, MOST_SIGNS


def as_plan_calendar(plan: FilterPlan, until: date, stamp: datetime | None = None) -> str:
    """Return a plan as an iCalendar file up to a day, with reminders.

    `stamp` is when the file was made; left out, noon of the plan's day.
    """
    made = datetime.combine(plan.start, time(12), UTC) if stamp is None else stamp
    tasks = [task for task in (*steps(plan), *tasks_of(plan)) if task.first <= until]
    return as_icalendar(tasks, made, until, f"Filter plan: {plan.system.name}")


def steps(plan: FilterPlan) -> Iterator[Task]:
    """Give the dated start as tasks that are done once."""
    for step in dated_steps(plan):
        what, _, why = step.words.partition(". ")
        # So long a gap that no calendar holds a second time.
        yield Task(f"New filter: {what}"[: MOST_SIGNS["what"]], step.day, MOST_DAYS, why)
