"""The still in the README is that of the panel as it is now; pixels of a release do not count."""

import io
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from aqualib.lesson.drawing.words import Words
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel
from aqualib.lesson.serving.still import (
    DIGEST,
    README,
    SHARPNESS,
    STILL,
    digest_kept,
    digest_of,
    refresh_still,
)


@pytest.fixture
def panel(lesson_start):
    panel = nitrogen_flow_panel()
    yield panel
    panel.close()


@pytest.fixture
def copies(tmp_path, lesson_start):
    return tuple(Path(shutil.copy(file, tmp_path)) for file in (README, STILL))


def test_the_still_and_its_sentence_are_fresh(panel):
    stale = "run: python -m aqualib.lesson.serving.still"
    assert digest_kept(STILL) == digest_of(panel), stale
    line = f"![{panel.sentence}](lessons/{STILL.name})"
    assert line in README.read_text(encoding="utf-8"), stale
    with Image.open(STILL) as image:
        assert image.size == (panel.view.width * SHARPNESS, panel.view.height * SHARPNESS)
    assert STILL.stat().st_size < 80_000


def test_the_digest_moves_with_what_is_shown(panel):
    before = digest_of(panel)
    panel.set(feed=3.6)
    assert digest_of(panel) != before
    panel.reset()
    assert digest_of(panel) == before
    figure = panel.picture.figure
    word = next(words for words in figure.findobj(Words) if words.get_text() == "nitrate")
    word.set_text("another word")
    assert digest_of(panel) != before
    word.set_text("nitrate")
    assert digest_of(panel) == before
    band = next(patch for axes in figure.axes for patch in axes.patches)
    band.set_xy(np.asarray(band.get_xy()) * 1.1)
    assert digest_of(panel) != before


def test_a_fresh_still_is_left_and_so_is_one_with_other_pixels(copies):
    assert not refresh_still(*copies)
    kept = PngInfo()
    kept.add_text(DIGEST, digest_kept(copies[1]))
    Image.new("RGB", (9, 9)).save(copies[1], pnginfo=kept)
    before = copies[1].read_bytes()
    assert not refresh_still(*copies)
    assert copies[1].read_bytes() == before


@pytest.mark.parametrize("state", ["missing", "stale", "no picture"])
def test_a_stale_still_is_made_anew(copies, state):
    readme, still = copies
    readme.write_text(readme.read_text().replace("![The day's", "![Another day's"))
    still.unlink()
    if state == "stale":
        Image.new("RGB", (9, 9)).save(still)
    elif state == "no picture":
        still.write_text("words")
    assert refresh_still(readme, still)
    assert digest_kept(still) == digest_kept(STILL)
    assert readme.read_text() == README.read_text()
    with Image.open(io.BytesIO(still.read_bytes())) as made, Image.open(STILL) as kept:
        assert made.size == kept.size
    assert not refresh_still(readme, still)


def test_a_readme_without_a_place_for_it_is_refused(copies):
    copies[0].write_text("nothing")
    with pytest.raises(ValueError, match="no place"):
        refresh_still(*copies)
