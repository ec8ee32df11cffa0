"""How long a panel lives: as long as someone holds it or a page shows it, and no longer."""

import gc
import subprocess
import sys
import weakref

import pytest
from ipywidgets.widgets import widget as ipywidgets_widget
from panels_of_lessons import PANELS, ask, picture, sliders, small_panel

from aqualib.lesson.panels.oxygen_curve import oxygen_panel
from aqualib.lesson.panels.tank_weight import first_slider_panel
from aqualib.units import set_units

pytestmark = pytest.mark.usefixtures("lesson_start")

RUNS = 60


class Shell:
    """Stands in for the notebook's shell: which page speaks to it, and which cell it runs."""

    def __init__(self):
        self.page, self.cell, self.code, self.run_number = "page 1", "a cell", "panel", 0

    def get_parent(self):
        return {
            "header": {"session": self.page, "msg_id": f"run {self.run_number}"},
            "metadata": {"cellId": self.cell} if self.cell else {},
            "content": {"code": self.code},
        }

    def run(self, *panels, cell=None, page=None):
        """Run a cell that shows these panels."""
        self.cell = self.cell if cell is None else cell
        self.page = page or self.page
        self.run_number += 1
        for panel in panels:
            panel._repr_mimebundle_()

    def hear(self, panel, page, do, view):
        """Let a page speak to a panel of its own."""
        self.page = page
        ask(panel, do=do, name=view)


@pytest.fixture
def shell(monkeypatch):
    shell = Shell()
    monkeypatch.setattr("aqualib.lesson.on_show.get_ipython", lambda: shell)
    open_before = set(ipywidgets_widget._instances)
    yield shell
    for name, widget in list(ipywidgets_widget._instances.items()):
        if name not in open_before:
            widget.close()


def is_open(panel):
    return panel.view.comm is not None


def open_widgets():
    """How many widgets, panels and all that belongs to them, a page could still reach."""
    return len(ipywidgets_widget._instances)


def alive(references):
    """What of these is still there."""
    gc.collect()
    return [thing for thing in (reference() for reference in references) if thing is not None]


def redrawn_by_a_change_of_units(panels):
    """How often a change of units draws these panels."""
    before = sum(panel.updates for panel in panels)
    set_units("us")
    return sum(panel.updates for panel in panels) - before


@pytest.mark.parametrize("make", PANELS.values(), ids=PANELS)
def test_a_panel_goes_with_the_last_who_holds_it(make):
    """At once: what waits for Python's cleaning may wait for minutes, with its pixels."""
    panel = make()
    name = next(iter(sliders(panel)))
    panel.set(**{name: sliders(panel)[name].parameter.low})
    held, figure = weakref.ref(panel), panel.picture.figure
    gc.collect()
    gc.disable()
    try:
        del panel
        assert held() is None
        assert figure.axes == []
    finally:
        gc.enable()


def test_panels_made_and_never_shown_leave_nothing_behind():
    before, made, views = open_widgets(), [], []
    for _ in range(RUNS):
        panel = small_panel()
        made.append(weakref.ref(panel))
        views.append(weakref.ref(panel.view))
    assert open_widgets() == before
    assert alive(made) == [panel]
    assert len(alive(views)) == 1
    assert redrawn_by_a_change_of_units(alive(made)) == 1


@pytest.mark.parametrize("cell", ["a cell", ""], ids=["cell with a name", "cell without a name"])
def test_a_cell_run_again_and_again_keeps_one_panel(shell, cell):
    before, made, views = open_widgets(), [], []
    for _ in range(RUNS):
        panel = small_panel()
        made.append(weakref.ref(panel))
        views.append(weakref.ref(panel.view))
        shell.run(panel, cell=cell)
    del panel
    assert len(alive(made)) == 1, "the page holds it, though Python does not"
    assert len(alive(views)) == 1
    assert open_widgets() - before == 2, "the view, and the layout that ipywidgets gives it"
    assert redrawn_by_a_change_of_units(alive(made)) == 1
    alive(made)[0].close()
    assert alive(made) == alive(views) == []
    assert open_widgets() == before


def test_a_closed_panel_that_is_kept_is_light_and_is_not_drawn(shell):
    """A notebook keeps the value of every cell in `Out`, also of those that ran again."""
    kept = [first_slider_panel(), small_panel(), small_panel()]
    # The picture, and what the chart has drawn on it.
    drawn = [weakref.ref(kept[0].picture), weakref.ref(kept[0].picture.chart.section.water)]
    for panel in kept:
        shell.run(panel)
    assert [is_open(panel) for panel in kept] == [False, False, True]
    assert redrawn_by_a_change_of_units(kept) == 1
    assert alive(drawn) == []
    assert kept[0].view.png == b""


def test_shown_outside_a_notebook_it_goes_with_the_last_who_holds_it():
    before = open_widgets()
    panel = small_panel()
    panel._repr_mimebundle_()
    made = [weakref.ref(panel)]
    del panel
    assert alive(made) == []
    assert open_widgets() == before


def test_a_cell_run_again_closes_every_panel_it_showed_before(shell):
    first, beside, elsewhere = (small_panel() for _ in range(3))
    shell.run(first, first, beside)
    shell.run(elsewhere, cell="another cell")
    assert all(map(is_open, (first, beside, elsewhere)))
    second = small_panel()
    shell.run(second, cell="a cell")
    assert not is_open(first)
    assert not is_open(beside)
    assert is_open(second)
    assert is_open(elsewhere)


def test_the_same_panel_shown_again_stays(shell):
    panel = small_panel()
    for cell in ("a cell", "a cell", "another cell", "a cell"):
        shell.run(panel, cell=cell)
        assert is_open(panel)
    # It stands in two cells; one of them shows something else now.
    shell.run(small_panel(), cell="a cell")
    assert is_open(panel)
    shell.run(small_panel(), cell="another cell")
    assert not is_open(panel)


def test_a_panel_in_two_cells_of_a_page_stays_until_both_are_run_again(shell):
    panel = small_panel()
    for cell, view in (("a cell", "v1"), ("another cell", "v2")):
        shell.run(panel, cell=cell)
        shell.hear(panel, "page 1", "here", view)
    shell.run(small_panel(), cell="a cell")
    # A second window runs the other cell; the first still shows what that gave before.
    shell.run(small_panel(), cell="another cell", page="page 2")
    assert is_open(panel)


def test_odd_names_of_views_are_no_views(shell):
    panel = small_panel()
    shell.run(panel)
    for name in (None, [], {}, 7, ["v1"]):
        shell.hear(panel, "page 2", "here", name)
        shell.hear(panel, "page 2", "gone", name)
    shell.run(small_panel(), page="page 1")
    assert not is_open(panel)


def test_a_second_window_on_a_lesson_leaves_the_first_its_panel(shell):
    first, second, third, last = (small_panel() for _ in range(4))
    shell.run(first, page="page 1")
    shell.hear(first, "page 1", "here", "v1")
    shell.run(second, page="page 2")
    shell.hear(second, "page 2", "here", "v2")
    assert is_open(first), "page 1 shows it still"
    ask(first, do="set", name="ph", value=8.0, units="metric")
    assert first.sentence == "8.0"
    # Page 1 runs its cell again and takes its old view away.
    shell.hear(first, "page 1", "gone", "v1")
    shell.run(third, page="page 1")
    assert [is_open(panel) for panel in (first, second, third)] == [False, True, True]
    # Page 2 is closed; the next panel that is shown takes the place.
    shell.hear(second, "page 2", "gone", "v2")
    shell.run(last, page="page 1")
    assert [is_open(panel) for panel in (second, third, last)] == [False, False, True]


def test_a_page_that_has_not_spoken_yet_keeps_its_panel(shell):
    """Both windows run all cells; what the pages say waits behind the cells."""
    first = small_panel()
    shell.run(first, page="page 1")
    shell.run(small_panel(), page="page 2")
    assert is_open(first)


def test_two_windows_on_one_panel(shell):
    """The second window was opened on a lesson that had run: both show the same panel."""
    panel = small_panel()
    shell.run(panel, page="page 1")
    shell.hear(panel, "page 1", "here", "v1")
    shell.hear(panel, "page 2", "here", "v2")
    shell.run(small_panel(), page="page 1")
    assert is_open(panel), "page 2 shows it still"


def test_a_page_loaded_anew_finds_its_panel(shell):
    panel, other = small_panel(), small_panel()
    shell.run(panel, page="page 1")
    shell.hear(panel, "page 1", "here", "v1")
    shell.hear(panel, "page 1", "gone", "v1")
    shell.run(other, cell="another cell", page="page 2")
    assert is_open(panel), "it is still what its cell gave"
    shell.hear(panel, "page 3", "here", "v3")
    shell.run(small_panel(), cell="a cell", page="page 3")
    assert not is_open(panel)


def test_a_cell_cut_and_put_back_finds_its_panel(shell):
    panel = small_panel()
    shell.run(panel)
    shell.hear(panel, "page 1", "here", "v1")
    shell.hear(panel, "page 1", "gone", "v1")
    shell.run(small_panel(), cell="another cell")
    assert is_open(panel)
    shell.hear(panel, "page 1", "here", "v2")
    shell.run(small_panel(), cell="a cell")
    assert not is_open(panel)


def test_a_closed_panel_still_works_for_code():
    panel = first_slider_panel()
    before, name = picture(panel), next(iter(sliders(panel)))
    panel.close()
    panel.set(**{name: panel.controls[name].parameter.low})
    panel.reset()
    assert picture(panel) == before


def test_a_closed_panel_that_is_shown_again_is_whole(shell):
    widgets, panel = open_widgets(), oxygen_panel()
    shell.run(panel)
    before = picture(panel)
    panel.close()
    set_units("us")
    assert "°C" in panel.sentence.split("(")[0]
    set_units("metric")
    shell.run(panel)
    assert is_open(panel)
    assert picture(panel) == before
    ask(panel, do="units", value="us")
    assert "°F" in panel.sentence
    made = [weakref.ref(panel)]
    panel.close()
    assert open_widgets() == widgets
    del panel
    assert alive(made) == []


def test_the_end_of_the_kernel_takes_nothing_off_the_page():
    """A page goes on showing the last picture when Python has stopped."""
    program = """
import comm
closed = []
class Comm(comm.base_comm.BaseComm):
    def publish_msg(self, msg_type, **_):
        if msg_type == "comm_close":
            print("closed")
comm.create_comm = Comm
from aqualib.lesson.panels.tank_weight import first_slider_panel
panel = first_slider_panel()
panel.view.show()
print("shown", flush=True)
import os, atexit
atexit._run_exitfuncs()
print("end", flush=True)
os._exit(0)
"""
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["shown", "end"], done.stderr
