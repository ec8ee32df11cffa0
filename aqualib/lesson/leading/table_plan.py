"""The plan that a table takes home: of its own tank where it told one, else of the example."""

from __future__ import annotations

import base64
from datetime import date
from html import escape
from pathlib import Path

from aqualib.lesson.handout import as_plan_page, as_plan_text
from aqualib.lesson.handout.plan_page import LOOK, plan_sheet
from aqualib.lesson.whose_tank import FILE, FOLDER
from aqualib.tank.plan import FilterPlan, example_system, load_system, make_plan

FIRST_DAY = date(2030, 3, 2)
"""The example starts on one day for all, so that its page never changes."""
PAGE = "filter-plan.html"
LESSONS = ".."
"""Where the lessons lie, seen from the workshop."""


class TablePlan:
    """One page of a plan, with a link that saves it; nothing is written where the page is served."""

    def __init__(self, plan: FilterPlan) -> None:
        """Keep a plan."""
        self.plan = plan

    def __repr__(self) -> str:
        return as_plan_text(self.plan)

    def _repr_html_(self) -> str:
        page = base64.b64encode(as_plan_page(self.plan, LESSONS).encode()).decode()
        link = (
            f'<p><a download="{PAGE}" href="data:text/html;base64,{page}">'
            f"Save the plan of {escape(self.plan.system.name)} as a page to print</a></p>"
        )
        return f"{link}<style>{LOOK}</style>{plan_sheet(self.plan, LESSONS)}"


def table_plan(folder: Path | None = None) -> TablePlan:
    """Return the plan of the tank kept in `mine/` beside the workshop or the lessons.

    Where none was told it is the plan of the lessons' invented tank.
    """
    here = folder or Path.cwd()
    for place in (here, here.parent):
        file = place / FOLDER / FILE
        if file.is_file():
            return TablePlan(make_plan(load_system(file)))
    return TablePlan(make_plan(example_system(), FIRST_DAY))
