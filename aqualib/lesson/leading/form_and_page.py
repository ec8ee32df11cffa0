"""The plan that a table takes home: its form, and below it the page, of its own tank or ours.

What a table types stays in the page's own Python. Many tables may share one server, so nothing is
written there: the browser saves the page.
"""

from __future__ import annotations

import base64
from html import escape
from pathlib import Path
from typing import Any

from IPython.display import display
from ipywidgets import HTML

from aqualib.lesson.asking import TankForm
from aqualib.lesson.handout import EXAMPLE_DAY, OnPage, as_paper_form, as_plan_page
from aqualib.lesson.own_folder import MINE
from aqualib.lesson.whose_tank import FILE
from aqualib.tank.plan import FilterPlan, example_system, make_plan
from aqualib.validity import ValidityError

LESSONS = ".."
"""Where the lessons lie, seen from the workshop."""
MAKE = "Make our plan"
MADE = "Your plan stands below. What you left open was assumed, and the page says so."


class TablePlan(OnPage):
    """One page of a plan, with links that save it and a blank form; it may become another plan."""

    def __init__(self, plan: FilterPlan) -> None:
        super().__init__(plan, LESSONS)
        self.view: HTML | None = None

    def become(self, plan: FilterPlan) -> None:
        """Show another plan in the same place."""
        self.plan = plan
        if self.view is not None:
            self.view.value = self._repr_html_()

    def _repr_html_(self) -> str:
        name = f"<bdi>{escape(self.plan.system.name)}</bdi>"
        page = as_plan_page(self.plan, LESSONS)
        links = (
            _link("filter-plan.html", page, f"Save the plan of {name} as a page to print"),
            _link("plan-on-paper.html", as_paper_form(), "Save a blank form to print"),
        )
        return f"<p>{' · '.join(links)}</p>\n{super()._repr_html_()}"

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        html = self._repr_html_()
        if self.view is None:
            self.view = HTML(html)
        return {
            "application/vnd.jupyter.widget-view+json": self.view.get_view_spec(),
            "text/html": html,  # for a reader without a kernel
            "text/plain": repr(self),
        }


class TableForm(TankForm):
    """The form of lesson 00, whose button makes a plan in place of a file."""

    def __init__(self, page: TablePlan, file: Path) -> None:
        """Open the form on a tank that was kept, if there is one."""
        super().__init__(file)
        self.page = page

    def make(self) -> str:
        """Make the plan of what was told, and say so; say in words what does not go together."""
        try:
            self.page.become(make_plan(self.system))
            self.told = MADE
        except ValidityError as refused:
            self.told = f"No plan yet. {refused}"
        self.show()
        return self.told

    def actions(self) -> list[str]:
        """Return the one button."""
        return [MAKE]

    def take(self, name: str, what: str, value: object) -> None:
        """Take what the page sends."""
        if what == MAKE:
            self.make()
        else:
            super().take(name, what, value)

    def save(self) -> str:
        """Make the plan; at a table nothing is kept on the computer that serves the page."""
        return self.make()


def table_plan(folder: Path | None = None) -> TableForm:
    """Show the form and a plan below it: of the tank kept in `mine/`, else of the invented one.

    The file is looked for beside the workshop and beside the lessons.
    """
    here = folder or Path.cwd()
    places = [place / MINE / FILE for place in (here, here.parent)]
    file = next((place for place in places if place.is_file()), places[0])
    page = TablePlan(make_plan(example_system(), EXAMPLE_DAY))
    form = TableForm(page, file)
    if file.is_file():
        form.make()
    display(form)
    display(page)
    return form


def _link(name: str, page: str, words: str) -> str:
    packed = base64.b64encode(page.encode()).decode()
    look = "text-decoration: underline"  # the page's own look of links ends where a widget begins
    return f'<a download="{name}" style="{look}" href="data:text/html;base64,{packed}">{words}</a>'
