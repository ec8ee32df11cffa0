"""The still of a panel at the top of the README: made by the panel itself, and renewed when stale.

`python -m aqualib.lesson.serving.still` draws it again where what it shows is no longer so, and
puts the panel's sentence beside it, for those who cannot see it. The picture carries a digest of
what was drawn (words, lines, shapes, sentence), so that it is stale when a number moves, and not
when another release of the drawing library sets a pixel otherwise.
"""

from __future__ import annotations

import hashlib
import io
import json
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from aqualib.files import PACKAGE
from aqualib.lesson.drawing.picture import Picture, small_png
from aqualib.lesson.drawing.words import Words
from aqualib.lesson.panel import Panel
from aqualib.lesson.panels.nitrogen_flow import nitrogen_flow_panel

README = PACKAGE.parent / "README.md"
STILL = PACKAGE.parent / "lessons" / "follow-the-food.png"
BEGIN = "<!-- still: made by `python -m aqualib.lesson.serving.still`, which writes over it -->"
END = "<!-- end of still -->"
DIGEST = "aqualib-digest"
COLOURS = 64
SHARPNESS = 1.5


def refresh_still(readme: Path = README, still: Path = STILL) -> bool:
    """Renew the picture and the README's line for it where stale; return whether anything was."""
    panel = nitrogen_flow_panel()
    try:
        digest = digest_of(panel)
        stale = digest_kept(still) != digest
        if stale:
            still.write_bytes(_with_digest(small_png(_sharp(panel), COLOURS), digest))
        before = readme.read_text(encoding="utf-8")
        after = _with_line(before, f"lessons/{still.name}", panel.sentence)
        if after != before:
            readme.write_text(after, encoding="utf-8")
        return stale or after != before
    finally:
        panel.close()


def digest_of(panel: Panel) -> str:
    """Return a digest of what a panel's picture shows and says, whatever its pixels."""
    figure = panel.picture.figure
    shown: list[object] = [panel.title, panel.sentence, *panel.answer(panel.result)]
    shown += sorted(words.get_text() for words in figure.findobj(Words) if words.get_visible())
    for axes in figure.axes:
        for line in axes.lines:
            shown.append(_rounded(np.column_stack([np.asarray(a, float) for a in line.get_data()])))
        for patch in axes.patches:
            corners = patch.get_path().vertices
            shown.append(_rounded(patch.get_patch_transform().transform(corners)))
    return hashlib.sha256(json.dumps(shown).encode()).hexdigest()[:16]


def _rounded(points: NDArray[np.float64]) -> list[str]:
    return [f"{number:.3g}" for number in points.ravel()]


def digest_kept(still: Path) -> str:
    """Return the digest that a picture carries; nothing where there is no such picture."""
    try:
        with Image.open(still) as image:
            return str(image.info.get(DIGEST, ""))
    except OSError:
        return ""


def _sharp(panel: Panel) -> bytes:
    """Return the panel's picture with more pixels than a page needs, for screens that have them."""
    picture = Picture(type(panel.picture.chart)())
    picture.pixel_ratio = SHARPNESS
    try:
        return picture.png(panel.result)
    finally:
        picture.release()


def _with_digest(packed: bytes, digest: str) -> bytes:
    info, file = PngInfo(), io.BytesIO()
    info.add_text(DIGEST, digest)
    Image.open(io.BytesIO(packed)).save(file, "PNG", optimize=True, pnginfo=info)
    return file.getvalue()


def _with_line(text: str, place: str, sentence: str) -> str:
    head, begin, rest = text.partition(BEGIN)
    _, end, tail = rest.partition(END)
    if not begin or not end:
        message = "the README has no place for the still"
        raise ValueError(message)
    return f"{head}{begin}\n\n![{sentence}]({place})\n\n{end}{tail}"


if __name__ == "__main__":
    print(f"still: {'changed' if refresh_still() else 'unchanged'}")
