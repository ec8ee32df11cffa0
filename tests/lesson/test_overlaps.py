"""Words of a picture lie on it, apart from one another and from every dot, at any setting.

The sample draws each panel as it opens. The sweep (`-m sweep`) goes to both ends of every control,
in every unit set, at every text size. `known_overlaps.txt` lists what is still out of place, as
"panel: these × those"; the list may only shrink, and the sweep fails where a line is not true.
"""

import itertools
from functools import partial
from pathlib import Path

import pytest
from matplotlib.figure import Figure
from panels_of_lessons import PANELS
from words_in_pictures import ends_of, out_of_place

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Picture
from aqualib.units import UNIT_SETS, set_units

KNOWN = Path(__file__).with_name("known_overlaps.txt").read_text(encoding="utf-8").splitlines()
EVERY_LOOK = list(itertools.product(UNIT_SETS, style.TEXT_SIZES))

pytestmark = pytest.mark.usefixtures("lesson_start")


def known(name):
    """What is still out of place in a panel."""
    return {line.removeprefix(f"{name}: ") for line in KNOWN if line.startswith(f"{name}: ")}


def found_in(panel, settings, looks):
    """What is out of place at some settings, and the first place where it was seen."""
    panel.compute = once(panel.compute)
    panel.refine = panel.refine and once(panel.refine)
    seen = {}
    for system, size in looks:
        set_units(system)
        style.set_text_size(size)
        for values in settings:
            panel.replay(**values)
            for what in out_of_place(panel.picture.figure):
                seen.setdefault(what, (system, size, values))
    return seen


def once(function):
    """The same function, worked out once for the same call."""
    worked_out = {}

    def remembered(*parts, **values):
        key = (*map(id, parts), *sorted(values.items()))
        if key not in worked_out:
            # With the parts, so that no other thing takes their place in memory.
            worked_out[key] = parts, function(*parts, **values)
        return worked_out[key][1]

    return remembered


@pytest.mark.parametrize("name", PANELS)
def test_words_lie_apart_as_a_panel_opens(name):
    panel = PANELS[name]()
    seen = found_in(panel, [{}], [("metric", "page"), ("us", "projector")])
    panel.close()
    assert {what: where for what, where in seen.items() if what not in known(name)} == {}


@pytest.mark.sweep
@pytest.mark.parametrize("name", PANELS)
def test_words_lie_apart_at_every_end(name):
    panel = PANELS[name]()
    seen = found_in(panel, list(ends_of(panel)), EVERY_LOOK)
    panel.close()
    assert {what: where for what, where in seen.items() if what not in known(name)} == {}
    assert known(name) - set(seen) == set(), "mended: take it off the list"


def test_no_line_speaks_of_a_panel_that_is_not_there():
    assert {line.split(": ")[0] for line in KNOWN} <= set(PANELS)


@pytest.mark.parametrize(
    ("place", "found"),
    [
        ((0.13, 0.5), {"another × one"}),
        ((0.7, 0.5), set()),
        ((0.95, 0.5), {"another × edge"}),
        ((0.75, 0.1), {"another × dot o"}),
    ],
)
def test_words_out_of_place_are_found(place, found):
    class Pair:
        size = (4.0, 2.0)

        def frame(self, result):
            return ()

        def build(self, figure: Figure, result):
            axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
            style.bare(axes, 1.0, 1.0)
            axes.set_aspect("auto")
            axes.plot([0.8], [0.1], "o", ms=10)
            write = partial(style.write, axes)
            return [write(0.1, 0.5, "one"), write(*place, "another")]

        def update(self, result):
            pass

    picture = Picture(Pair())
    picture.png(None)
    assert out_of_place(picture.figure) == found
