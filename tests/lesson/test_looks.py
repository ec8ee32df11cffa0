"""What every panel owes the eye: words of one breath, and enough contrast on paper."""

import itertools

import numpy as np
import pytest
from matplotlib.colors import to_hex, to_rgba
from matplotlib.text import Text
from panels_of_lessons import PANELS
from words_in_pictures import axis_words, ends_of

from aqualib.lesson.drawing.words import Words
from aqualib.units import set_units

MOST_WORDS = 59
TEXT, LINES = 4.5, 3.0
"""Least contrast against paper (WCAG 2, 1.4.3 and 1.4.11)."""
GREY = 1.2
"""Least contrast of two things that nothing but their shade tells apart."""
THIN = 6.0
"""Pixels: what is thinner is a line."""
THICK = 5.0
"""Points: a wider line is a thing with an area, not a thin line."""
BOLD, ORDER, BEFORE = 60, 95, 65
"""Signs of a headline at most: of the answer, of one that is a thing to do, of the words before."""
ORDERS = {"What is wrong?", "Safe or not?"}


def luminance(colour):
    """How light a colour is on white paper, 0 to 1."""
    *rgb, strength = to_rgba(colour)
    seen = [strength * c + 1.0 - strength for c in rgb]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in seen]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other="white"):
    """The contrast of two colours, 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_sum_is_that_of_the_guideline():
    assert contrast("black") == pytest.approx(21.0)
    assert contrast("white") == pytest.approx(1.0)
    assert contrast("#767676") == pytest.approx(4.54, abs=0.01)


def too_long(panel):
    """What a panel says at greater length than one breath: its caption, its headline."""
    what, bold = panel.view.answer
    most = ORDER if panel.title in ORDERS else BOLD
    short = len(bold) <= most and len(what) <= BEFORE
    caption = len(panel.sentence.split()) <= MOST_WORDS
    return ([] if caption else [panel.sentence]) + ([] if short else [f"{what} {bold}"])


def test_caption_and_headline_are_short(panel):
    assert too_long(panel) == []


@pytest.mark.sweep
@pytest.mark.parametrize("name", PANELS)
def test_caption_and_headline_are_short_at_every_end(name, lesson_start):
    panel, long = PANELS[name](), {}
    for system in ("metric", "us"):
        set_units(system)
        for values in ends_of(panel):
            panel.replay(**values)
            if found := too_long(panel):
                long[system, *values] = found
    panel.close()
    assert long == {}


def texts_on(figure):
    for axes in figure.axes:
        yield from (a for a in (*axes.artists, *axes.texts) if isinstance(a, Words | Text))
        yield from axis_words(axes)


def colour_of(text):
    return text._type.get_color() if isinstance(text, Words) else text.get_color()


def test_words_stand_out_from_paper(panel):
    pale = {
        colour_of(text)
        for text in texts_on(panel.picture.figure)
        if text.get_text() and contrast(colour_of(text)) < TEXT
    }
    assert pale == set()


def is_cased(line, others):
    """Whether a wider, darker line runs under this one."""
    return any(
        len(other.get_xdata()) == len(line.get_xdata()) > 0
        and np.array_equal(other.get_ydata(), line.get_ydata(), equal_nan=True)
        and other.get_linewidth() > line.get_linewidth() + 1.0
        and contrast(other.get_color()) >= LINES
        for other in others
    )


def test_thin_lines_stand_out_from_paper(panel):
    pale = {
        str(line.get_color())
        for axes in panel.picture.figure.axes
        for line in axes.lines
        if line.get_linestyle() != "None" and line.get_linewidth() < THICK
        if contrast(line.get_color()) < LINES and not is_cased(line, axes.lines)
    }
    assert pale == set()


def is_outlined(patch):
    """Whether a patch has an edge that is seen on paper."""
    edge = patch.get_edgecolor()
    return edge[3] > 0.0 and patch.get_linewidth() > 0.0 and contrast(edge) >= LINES


def areas_on(axes):
    """Give each area in sight that is no more than its shade: its colour and its hatch."""
    for patch in axes.patches:
        box = patch.get_path().transformed(patch.get_transform()).get_extents()
        seen = patch.get_visible() and min(box.width, box.height) > THIN
        if seen and patch.get_facecolor()[3] > 0.0 and not is_outlined(patch):
            yield to_hex(patch.get_facecolor(), keep_alpha=True), patch.get_hatch()


def curves_on(axes):
    """Give each line in sight: its colour, and what tells it apart without one."""
    for line in axes.lines:
        if line.get_visible() and line.get_linestyle() != "None" and len(line.get_xdata()) > 1:
            look = line.get_linestyle(), line.get_marker(), line.get_linewidth()
            yield to_hex(line.get_color()), look


def test_nothing_rests_on_colour_alone(panel):
    """On a grey copy areas differ by shade, hatch or outline, and lines by shade or dash."""
    alike = {
        (one, other)
        for axes in panel.picture.figure.axes
        for things in (set(areas_on(axes)), set(curves_on(axes)))
        for (one, look), (other, same) in itertools.combinations(things, 2)
        if look == same and one[:7] != other[:7] and contrast(one, other) < GREY
    }
    assert alike == set()
