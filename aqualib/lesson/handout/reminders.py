"""What a plan asks for day by day: of a filter that runs, and of one that is new."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import NamedTuple

from aqualib.lesson.handout.bags_and_floss import floss_and_bags
from aqualib.lesson.handout.from_sums import WEEK, care_of
from aqualib.lesson.handout.layers import grams, told
from aqualib.lesson.handout.small_doses import daily, portion
from aqualib.parameters import parameter
from aqualib.tank.plan import Dated, FilterPlan
from aqualib.tank.plan.first_weeks import TEST_FROM, early_day, go_day
from aqualib.tank.upkeep import Task, usual_tasks
from aqualib.tank.upkeep.calendar import CHANGE, MOST_DAYS, MOST_SIGNS
from aqualib.units import Q, shown

NEW = "New filter: "
LAMP_OFF = "The lamp stays off until a week after GO."
SMALL = (
    "A tank that stands high in nitrate has often lost its alkalinity, and much new water at once "
    "can turn its ammonia poisonous. Test ammonia, pH and alkalinity first, and go on with small "
    "changes while alkalinity is short (lesson 14, “the pH sinks”)."
)
DOSE = (
    "Only while no animals are in the tank. Leave it out while ammonia reads above {pause}. After "
    "GO: no more of it."
)


class Lines(NamedTuple):
    """The two lines of a new filter, in the reader's units."""

    ammonia: str
    nitrite: str

    @property
    def words(self) -> str:
        """Both lines as one sentence."""
        return f"ammonia {self.ammonia}, nitrite {self.nitrite}, both as N: stay below both."


def lines_of(plan: FilterPlan) -> Lines:
    """Return the lines that the tests of a new filter must stay below."""
    found = plan.first_weeks
    return Lines(told(found.ammonia_line, "mg/L"), told(found.nitrite_line, "mg/L"))


def dated_steps(plan: FilterPlan) -> tuple[Dated, ...]:
    """Return what is to be done on which date; nothing where no day can be named."""
    if plan.first_weeks.ready is None:
        return ()
    carried = f"{grams(plan.now.carried.feed.best)} g of food a day"
    return plan.dated_start(daily(plan.first_weeks.dose), carried)


def go_date(plan: FilterPlan) -> date | None:
    """Return the day of GO; None where none can be named."""
    ready = plan.first_weeks.ready
    if ready is None or not dated_steps(plan):
        return None
    return plan.start + timedelta(go_day(ready))


def of_a_running_filter(plan: FilterPlan) -> tuple[Task, ...]:
    """Return the care of a filter that runs, from the day of the plan on."""
    care = _care(plan, plan.start, small=plan.changing.small > 0.0)
    return (*care, *floss_and_bags(plan, plan.start))


def of_a_new_filter(plan: FilterPlan) -> tuple[Task, ...]:
    """Return the dated start, and the care that begins with GO; nothing where no day is named."""
    go = go_date(plan)
    if go is None:
        return ()
    # Water goes off from the first day on, and the switch is pressed from then too.
    care = care_of(plan)
    at_once = usual_tasks(
        plan.start, top_up=care.get("top_up"), top_up_every=care.get("top_up_every")
    )
    known = {task.what for task in at_once}
    later = (task for task in _care(plan, go, small=False) if task.what not in known)
    return (*_steps(plan), *_again(plan, go), *at_once, *later, *floss_and_bags(plan, go))


def _care(plan: FilterPlan, first: date, *, small: bool) -> tuple[Task, ...]:
    """Return the care of a filter from a day on, small changes of water first if they are asked."""
    care = care_of(plan)
    if not small or "change" not in care:
        return usual_tasks(first, **care)
    change = {name: care.pop(name) for name in ("change", "change_every")}
    weeks = round(parameter("small_change_weeks").value)
    then = first + timedelta(weeks * WEEK)
    found, water = plan.changing, told(plan.changing.small * plan.whole.volume, "L", 3)
    begin = Task(
        f"Change only {water} of water",
        first + timedelta(found.small_every),
        found.small_every,
        f"{SMALL} {CHANGE}",
        then,
    )
    as_advised = (task for task in usual_tasks(then, **change) if task.why == CHANGE)
    test, *others = usual_tasks(first, **care)
    return (test, begin, *as_advised, *others)


def _steps(plan: FilterPlan) -> Iterator[Task]:
    """Give the dated start as tasks that are done once, each with the lines of its tests."""
    lines = f"The lines: {lines_of(plan).words}"
    steps, go = dated_steps(plan), go_date(plan)
    for step in steps:
        what, _, why = step.words.partition(". ")
        dark = plan.whole.lamp_power and go and step.day <= go
        lamp = f" {LAMP_OFF}" if dark else ""
        yield Task(
            f"{NEW}{what.rstrip('.')}"[: MOST_SIGNS["what"]],
            step.day,
            MOST_DAYS,
            f"{why} {lines}{lamp}".strip(),
            step.day,
        )


def _again(plan: FilterPlan, go: date) -> Iterator[Task]:
    """Give what comes again and again until GO; the first time of each is a step of the start."""
    ready = plan.first_weeks.ready
    assert ready is not None
    row = parameter("dose_pause")
    pause, lines = shown(row.value, row.unit), f"The lines: {lines_of(plan).words}"
    early = plan.start + timedelta(early_day(ready))
    before_go, dose = go - timedelta(1), plan.first_weeks.dose
    last_step = max(step.day for step in dated_steps(plan))
    repeated = [
        (f"{portion(dose)} of ammonium chloride, if no animals are in", 1, 1, before_go, DOSE),
        ("Test ammonia, nitrite and alkalinity", TEST_FROM + 2, 2, early - timedelta(1), lines),
        ("Test ammonia and nitrite", early_day(ready) + 1, 1, last_step, lines),
    ]
    for what, day, every, last, why in repeated:
        first = plan.start + timedelta(day)
        if first <= last and (dose > LEAST_DOSE or why != DOSE):
            yield Task(f"{NEW}{what}", first, every, why.format(pause=pause), last)


LEAST_DOSE = Q(1, "mg").m_as("kg")
"""Two drops of the stock: no syringe of a kitchen gives less."""
