"""The plan that a table takes home: of its own tank where it told one, else of the example."""

from __future__ import annotations

import base64
from datetime import date
from html import escape
from pathlib import Path

from aqualib.lesson.handout import OnPage, as_paper_form, as_plan_page
from aqualib.lesson.whose_tank import FILE, FOLDER
from aqualib.tank.plan import FilterPlan, example_system, load_system, make_plan

FIRST_DAY = date(2030, 3, 2)
"""The example starts on one day for all, so that its page never changes."""
LESSONS = ".."
"""Where the lessons lie, seen from the workshop."""


class TablePlan(OnPage):
    """One page of a plan, with links that save it and a blank form.

    The browser saves them: nothing is written on the computer that serves the page.
    """

    def __init__(self, plan: FilterPlan) -> None:
        super().__init__(plan, LESSONS)

    def _repr_html_(self) -> str:
        name = escape(self.plan.system.name)
        page = as_plan_page(self.plan, LESSONS)
        links = (
            _link(
                "filter-plan.html", page, f"Save the plan of <bdi>{name}</bdi> as a page to print"
            ),
            _link("plan-on-paper.html", as_paper_form(), "Save a blank form to print"),
        )
        return f"<p>{' · '.join(links)}</p>\n{super()._repr_html_()}"


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


def _link(name: str, page: str, words: str) -> str:
    packed = base64.b64encode(page.encode()).decode()
    return f'<a download="{name}" href="data:text/html;base64,{packed}">{words}</a>'
