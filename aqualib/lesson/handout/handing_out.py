"""All that a plan leaves with: its files, and what changed since the plan before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from hashlib import sha256
from pathlib import Path

from aqualib.files import replace_file
from aqualib.lesson.handout.icalendar import as_icalendar
from aqualib.lesson.handout.page import as_page
from aqualib.lesson.handout.paper_form import as_paper_form
from aqualib.lesson.handout.plan_calendar import as_plan_calendar
from aqualib.lesson.handout.plan_numbers import is_renewed, keep_plan, last_plan
from aqualib.lesson.handout.plan_page import LOOK, as_plan_page, plan_sheet
from aqualib.lesson.handout.plan_text import as_plan_text
from aqualib.lesson.handout.reminders import go_date
from aqualib.lesson.handout.saving import keep
from aqualib.lesson.handout.what_changed import what_changed
from aqualib.lesson.own_folder import mine, own_folder
from aqualib.lesson.whose_tank import MINE, system_in_use, whose_tank
from aqualib.tank.plan import FilterPlan, make_plan
from aqualib.tank.upkeep import Task
from aqualib.validity import ValidityError

DAYS_AHEAD = 365
"""How far the calendar of a plan reaches."""
WEEKS_ON_PAPER = 12


EXAMPLE_DAY = date(2030, 3, 2)
"""The example starts on one day for all, so that its page never changes."""


def plan_in_use(start: date | None = None, *, whole: bool = True) -> FilterPlan:
    """Return the plan of the tank in use: the learner's own starts today unless a day is given.

    What takes longest, doubts and changes, is left out of a plan that need not be whole.
    """
    system = system_in_use()
    day = start or (None if whose_tank.value == MINE else EXAMPLE_DAY)
    return make_plan(system, day, doubt=whole, changes=whole)


def files_of(plan: FilterPlan) -> dict[str, str]:
    """Return the texts of a plan by the names of their files, with the day in them.

    There are two calendars, one for a filter that runs and one for a new one: load one of them.
    """
    until = plan.start + timedelta(DAYS_AHEAD)
    new = as_plan_calendar(plan, until, new=True) if go_date(plan) else ""
    return {
        f"plan {plan.start}.html": as_plan_page(plan),
        f"plan {plan.start}.txt": as_plan_text(plan),
        f"plan {plan.start}.ics": as_plan_calendar(plan, until),
        **({f"new filter {plan.start}.ics": new} if new else {}),
        "plan on paper.html": as_paper_form(),
    }


def hand_out(plan: FilterPlan, folder: str | Path | None = None) -> None:
    """Keep a plan's files in a folder, and say what changed since the plan that lies there.

    Its numbers go to `plan.json`; those of the plan before stay as `plan.earlier.json`, and what
    cannot be read as `plan.unreadable 1.json`. A page of the same tank and day that nobody changed
    since is made anew; one that somebody changed is left as it is. Without a folder, the plan of a
    learner's own tank goes into `mine/` of their own copies of the lessons; anything else is not
    kept.
    """
    files = files_of(plan)
    if folder is None:
        folder = own_place(plan)
    if folder is None:
        print(f"No folder is named, so nothing was kept. Ready to be kept: {', '.join(files)}.")
        return
    try:
        before = last_plan(folder)
        found = what_changed(before, plan) if before else ("This is the first plan here.",)
    except ValidityError as refused:
        before, found = None, (f"The last plan cannot be compared: {refused}",)
    if before and is_renewed(before, plan):
        _renew(files, Path(folder), before.pages)
    keep(files, folder)
    keep_plan(plan, folder, _marks(files, Path(folder)))
    print("\n".join(found))


def _mark(text: str | bytes) -> str:
    return sha256(text.encode() if isinstance(text, str) else text).hexdigest()


def _marks(files: Mapping[str, str], folder: Path) -> dict[str, str]:
    """Return the marks of the files that lie in a folder just as they were made."""
    made = {name: _mark(text) for name, text in files.items()}
    return {name: mark for name, mark in made.items() if _lies_there(folder / name, mark)}


def _lies_there(file: Path, mark: str | None) -> bool:
    return file.is_file() and not file.is_symlink() and _mark(file.read_bytes()) == mark


def _renew(files: Mapping[str, str], folder: Path, marks: Mapping[str, str]) -> None:
    """Write anew what we wrote on the same day and nobody changed since, in one step each."""
    for name, text in files.items():
        file, mark = folder / name, marks.get(name)
        if mark != _mark(text) and _lies_there(file, mark):
            replace_file(file, text)
            print(f"{name} was made earlier today, and was made anew.")
    for name in marks.keys() - files.keys():
        print(f"{name} is of the plan before, and this one has none: do not use it.")


def hand_out_care(
    tasks: Sequence[Task], plan: FilterPlan, folder: str | Path | None = None
) -> None:
    """Keep a plan's care as a calendar to load and a page to print.

    Without a folder, the care of a learner's own tank goes into `mine/` of their own copies.
    """
    until = plan.start + timedelta(DAYS_AHEAD)
    made = datetime.combine(plan.start, time(12), UTC)
    within = [task for task in tasks if task.first <= until]
    texts = {
        f"care {plan.start}.ics": as_icalendar(within, made, until, plan.system.name),
        f"care {plan.start}.html": as_page(tasks, plan.start, WEEKS_ON_PAPER, plan.system.name),
    }
    keep(texts, folder if folder is not None else own_place(plan))


def own_place(plan: FilterPlan) -> Path | None:
    """Return the folder `mine/` for the plan of a learner's own tank in their own copies."""
    if whose_tank.value != MINE or own_folder() is None or plan.system != system_in_use():
        return None
    place = mine()
    place.mkdir(exist_ok=True)
    return place


class OnPage:
    """A plan as a lesson shows it: its page, or its text where no page is seen."""

    def __init__(self, plan: FilterPlan, lessons: str = "") -> None:
        self.plan = plan
        self.lessons = lessons

    def __repr__(self) -> str:
        return as_plan_text(self.plan).rstrip()

    def _repr_html_(self) -> str:
        # Within a lesson, whose own headings are above it. What was typed holds no tag any more.
        sheet = plan_sheet(self.plan, self.lessons)
        for was, now in (("h2", "h4"), ("h1", "h3")):
            sheet = sheet.replace(f"<{was}", f"<{now}").replace(f"</{was}>", f"</{now}>")
        look = LOOK.replace(" h2 ", " h4 ").replace(" h1", " h3")
        return f"<style>\n{look}\n</style>\n{sheet}"
