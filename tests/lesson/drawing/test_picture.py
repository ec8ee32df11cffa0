"""A picture draws still parts once, moving parts each time, and its PNG is its pixels."""

import io

import numpy as np
import pytest
from PIL import Image

from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.picture import Chart, Picture, png, small_png
from aqualib.units import set_units


class Dot(Chart):
    """One dot on axes whose width follows the first of two numbers; the dot is at the second."""

    size = (2.0, 1.0)

    def __init__(self):
        self.built = 0

    def build(self, figure, _):
        self.built += 1
        axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
        axes.set_xlim(0.0, 1.0)
        axes.set_ylim(0.0, 1.0)
        (self.dot,) = axes.plot([], [], "s", ms=10, color="black")
        return [self.dot]

    def update(self, place):
        self.dot.set_data([place], [0.5])


class Framed(Dot):
    """The same, with still parts that follow the place."""

    def frame(self, place):
        return place > 0.5


@pytest.fixture(autouse=True)
def _as_before():
    yield
    set_units("metric")
    style.set_text_size("page")


def pixels(packed):
    return np.asarray(Image.open(io.BytesIO(packed)).convert("RGB"))


def middle_of_the_dot(packed):
    dark = pixels(packed)[10:-10, 5:-5].min(axis=2) < 128
    return 5 + np.flatnonzero(dark.any(axis=0)).mean()


def test_png_holds_the_pixels():
    rng = np.random.default_rng(3)
    shown = rng.integers(0, 256, (7, 11, 4), dtype=np.uint8)
    assert (pixels(png(shown)) == shown[:, :, :3]).all()


def test_a_small_png_looks_the_same_in_few_colours():
    shown = np.zeros((40, 60, 4), np.uint8)
    shown[10:20] = (0, 114, 178, 255)
    small = small_png(png(shown))
    assert (pixels(small) == shown[:, :, :3]).all()
    many = np.random.default_rng(3).integers(0, 256, (40, 60, 4), dtype=np.uint8)
    packed = small_png(png(many))
    assert len(np.unique(pixels(packed).reshape(-1, 3), axis=0)) <= 64
    assert len(packed) < len(png(many))


def test_a_small_png_keeps_hues_that_lie_close_and_take_little_room():
    hues = [(0, 114, 178), (0, 130, 160), (0, 158, 115), (86, 180, 233), (100, 180, 220)]
    shown = np.full((200, 300, 4), 255, np.uint8)
    shown[:, :150, 2] = np.arange(200, dtype=np.uint8)[:, None]  # many colours nearby
    for place, hue in enumerate(hues):
        shown[20 * place : 20 * place + 3, 200:260, :3] = hue
    kept = pixels(small_png(png(shown)))
    for place, hue in enumerate(hues):
        assert np.abs(kept[20 * place + 1, 230].astype(int) - hue).max() < 7


def test_what_moves_moves_and_leaves_no_trace():
    picture = Picture(Dot())
    first = picture.png(0.25)
    assert middle_of_the_dot(first) == pytest.approx(50, abs=1)
    assert middle_of_the_dot(picture.png(0.75)) == pytest.approx(150, abs=1)
    assert picture.png(0.25) == first
    assert picture.chart.built == 1


def test_still_parts_are_drawn_again_when_what_they_rest_on_changes():
    picture = Picture(Framed())
    for place in (0.2, 0.3, 0.8, 0.9, 0.1):
        picture.png(place)
    assert picture.chart.built == 3
    set_units("us")
    picture.png(0.1)
    style.set_text_size("projector")
    picture.png(0.1)
    picture.png(0.1)
    assert picture.chart.built == 5


def test_a_wide_place_and_a_dense_screen_get_more_pixels_up_to_a_limit():
    picture = Picture(Dot())
    assert pixels(picture.png(0.5)).shape == (100, 200, 3)
    picture.fit(257.0, 1.0)
    assert pixels(picture.png(0.5)).shape == (128, 257, 3)
    picture.fit(150.0, 1.5)
    assert pixels(picture.png(0.5)).shape == (112, 225, 3)
    picture.fit(257.0, 2.0)
    assert pixels(picture.png(0.5)).shape == (200, 400, 3)


def test_a_narrow_picture_is_laid_out_with_larger_text():
    picture = Picture(Dot())
    scales = []
    picture.chart.update = lambda _: scales.append(style.text_scale())
    for width in (200.0, 180.0, 150.0):
        picture.fit(width, 1.0)
        picture.png(0.5)
    assert scales == [1.0, 1.0, style.TEXT_SIZES["projector"]]
    assert style.text_scale() == 1.0


def test_a_picture_let_go_draws_anew():
    picture = Picture(Dot())
    before = picture.png(0.25)
    picture.release()
    assert picture.figure.axes == []
    assert picture.png(0.25) == before
