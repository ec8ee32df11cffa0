"""What every panel owes the eye: words of one breath, and enough contrast on paper."""

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from matplotlib.text import Text
from panels_of_lessons import PANELS
from words_in_pictures import axis_words, ends_of

from aqualib.lesson.drawing.words import Words
from aqualib.units import set_units

MOST_WORDS = 59
TEXT, LINES = 4.5, 3.0
"""Least contrast against paper (WCAG 2, 1.4.3 and 1.4.11)."""
THICK = 5.0
"""Points: a wider line is a thing with an area, not a thin line."""
BOLD, HEADLINE = 60, 95
"""Signs of a headline at most: of the answer itself, and with the words before it."""


def contrast(colour):
    """The contrast of a colour against white paper, 1 to 21."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in to_rgb(colour)]
    return 1.05 / (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2] + 0.05)


def test_the_sum_is_that_of_the_guideline():
    assert contrast("black") == pytest.approx(21.0)
    assert contrast("white") == pytest.approx(1.0)
    assert contrast("#767676") == pytest.approx(4.54, abs=0.01)


def too_long(panel):
    """What a panel says at greater length than one breath: its caption, its headline."""
    what, bold = panel.view.answer
    short = len(bold) <= BOLD and len(what) + len(bold) < HEADLINE
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
