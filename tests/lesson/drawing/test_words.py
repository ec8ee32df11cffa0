"""Words leave ink where they stand, and what is kept is drawn once."""

import numpy as np
import pytest
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from aqualib.lesson.drawing.words import KEPT, Kept, Words


@pytest.fixture
def page():
    figure = Figure(figsize=(4.0, 2.0), dpi=100)
    canvas = FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set_xlim(0.0, 400.0)
    axes.set_ylim(0.0, 200.0)
    return canvas, axes


def ink(canvas):
    """Where there is ink: left, right, bottom and top in pixels, from the lower left corner."""
    canvas.draw()
    dark = np.asarray(canvas.buffer_rgba())[::-1, :, :3].min(axis=2) < 128
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    if not len(rows):
        return None
    return columns[0], columns[-1], rows[0], rows[-1]


def test_words_leave_ink_beside_their_place(page):
    canvas, axes = page
    assert ink(canvas) is None
    words = Words(axes, 100.0, 120.0, "nitrate", fontsize=11.0)
    left, right, bottom, top = ink(canvas)
    assert left == pytest.approx(100, abs=2)
    assert 30 < right - left < 80
    assert (bottom + top) / 2 == pytest.approx(120, abs=3)
    words.set_text("")
    assert ink(canvas) is None
    words.set_text("nitrate")
    words.set_visible(False)
    assert ink(canvas) is None


@pytest.mark.parametrize(("across", "edge"), [("left", 0), ("right", 1)])
def test_words_stand_left_or_right_of_their_place(page, across, edge):
    canvas, axes = page
    Words(axes, 200.0, 100.0, "llll", fontsize=11.0, ha=across)
    assert ink(canvas)[edge] == pytest.approx(200, abs=2)


@pytest.mark.parametrize(("up", "edge"), [("bottom", 2), ("top", 3)])
def test_words_stand_over_or_under_their_place(page, up, edge):
    canvas, axes = page
    Words(axes, 200.0, 100.0, "lpl", fontsize=11.0, va=up)
    assert ink(canvas)[edge] == pytest.approx(100, abs=3)


@pytest.mark.parametrize("right", [True, False])
def test_words_beside_a_place(page, right):
    canvas, axes = page
    words = Words(axes, 0.0, 0.0, "llll", fontsize=11.0)
    words.stand_beside(200.0, 100.0, 10.0, right=right)
    left, end, *_ = ink(canvas)
    assert (left if right else end) == pytest.approx(210 if right else 190, abs=2)


def test_type_is_set_once_for_each_text(page, monkeypatch):
    canvas, axes = page
    words = Words(axes, 100.0, 100.0, "1", fontsize=11.0)
    texts = []
    by_hand = Words._set_type
    monkeypatch.setattr(
        Words, "_set_type", lambda self, dpi: texts.append(self.get_text()) or by_hand(self, dpi)
    )
    for text in ("1", "2", "1", "2", "1"):
        words.set_text(text)
        words.set_x(words.get_position()[0] + 10.0)
        canvas.draw()
    assert texts == ["1", "2"]
    for number in range(KEPT + 5):
        words.set_text(str(number))
        canvas.draw()
    assert len(words._kept) <= KEPT


class Counted(Artist):
    """Counts how often it is drawn, and leaves a mark."""

    drawn = 0

    def draw(self, renderer):
        self.drawn += 1
        gc = renderer.new_gc()
        renderer.draw_image(gc, 50, 50, np.zeros((10, 10, 4), np.uint8) + 255 * np.eye(4)[3])


def test_a_kept_group_is_drawn_again_only_for_a_new_key(page):
    canvas, axes = page
    part = Counted()
    group = Kept(axes.figure, [part])
    renderer = canvas.get_renderer()
    for key in ("a", "a", "a", "b", "b", "a"):
        group.key = key
        group.draw(renderer)
    assert part.drawn == 3


def test_a_kept_group_leaves_the_still_parts_as_one(page):
    part = Counted()
    Kept(page[1].figure, [part]).set_animated(True)
    assert part.get_animated()
