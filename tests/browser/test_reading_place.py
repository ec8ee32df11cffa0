"""Where the reader's eyes are after Run All Cells, and after a link into a page not yet open."""

import pytest

pytestmark = pytest.mark.browser

NOTEBOOK = "() => jupyterapp.shell.currentWidget.content"
# How far down the page is, the active cell, and the cell that has the focus.
STANDS = f"""() => {{
    const {{ outerNode, activeCellIndex, widgets }} = ({NOTEBOOK})();
    const focused = widgets.findIndex((cell) => cell.node.contains(document.activeElement));
    return [outerNode.scrollTop > 0, activeCellIndex, focused];
}}"""
IDLE = f"""() => /^\\D*\\d+ /.test(({NOTEBOOK})().parent.node
    .querySelector('.jp-Notebook-ExecutionIndicator').textContent)"""
# How far below the upper edge a named place stands, if it is in the page.
BELOW_EDGE = f"""(name) => {{
    const {{ outerNode }} = ({NOTEBOOK})();
    const place = outerNode.querySelector(`[data-jupyter-id="${{name}}"]`);
    return place && place.getBoundingClientRect().top - outerNode.getBoundingClientRect().top;
}}"""
AT_EDGE = (
    f"(name) => {{ const below = ({BELOW_EDGE})(name); return below !== null && below < 60; }}"
)
TOP, FOOT = [False, 0, 0], [True, 4, 4]
LINK = """
import time
from IPython.display import Markdown

Markdown("A word, [total ammonia](00-start-here.ipynb#total-ammonia).")
"""
VIEW = """
from aqualib.lesson.panels.tank_weight import first_slider_panel

time.sleep(1)
panel = first_slider_panel()
panel
"""
LAST = "time.sleep(1)\n" + "# a line\n" * 60
LONG = "time.sleep(0.2)\n" + "# a line\n" * 60


def wait(page, place):
    page.wait_for_function(
        f"(place) => JSON.stringify(({STANDS})()) === JSON.stringify(place)", arg=place
    )


def rest(page):
    """Let all be drawn that a run leads to."""
    page.wait_for_function(IDLE)
    page.wait_for_timeout(700)


def test_the_reader_is_brought_back_but_never_against_their_hand(lesson):
    page = lesson.page
    lesson.write("read-on.ipynb", LINK, LONG, LONG, VIEW, LAST)
    lesson.open("read-on.ipynb")
    wait(page, TOP)
    rest(page)

    # One cell alone, the last but one: JupyterLab goes on to the last, and there the reader stays.
    page.locator(".jp-CodeCell .jp-InputPrompt").nth(3).click()
    page.locator(".jp-NotebookPanel-toolbar [data-jp-item-name=run] jp-button").click()
    wait(page, FOOT)
    rest(page)
    assert page.evaluate(STANDS) == FOOT

    # Whoever moves while the cells run is left alone.
    lesson.choose("Run", "Run All Cells")
    page.mouse.move(600, 500)
    page.mouse.wheel(0, -40)
    rest(page)
    assert page.evaluate(STANDS) == FOOT

    lesson.run_again()
    wait(page, TOP)

    page.get_by_role("link", name="total ammonia").click()
    page.wait_for_function(AT_EDGE, arg="total-ammonia", timeout=20_000)
    # A run of all comes back to the word, with the focus in its cell.
    lesson.choose("Run", "Run All Cells")
    page.wait_for_function(IDLE, timeout=60_000)
    page.wait_for_function(AT_EDGE, arg="total-ammonia")
    moved, active, focused = page.evaluate(STANDS)
    assert moved
    assert active == focused > 10
    # The page behind is put away by the fixture, this one here.
    page.evaluate("() => jupyterapp.shell.currentWidget.dispose()")
    page.wait_for_function("() => jupyterapp.shell.currentWidget?.content.model")
