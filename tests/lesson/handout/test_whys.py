"""Each why names a lesson and a source that there are."""

import pytest

from aqualib.lesson.handout.whys import CAUTIONS, WHYS
from aqualib.lesson.serving.shipped import shipped_lessons
from aqualib.sources import references


@pytest.mark.parametrize("why", WHYS, ids=lambda why: why.about)
def test_lesson_and_source_are_there(why):
    assert any(name.startswith(f"{why.lesson}-") for name in shipped_lessons())
    for key in why.source.partition(";")[0].split(", "):
        assert key in references()
    assert len(why.words) <= 150


def test_every_danger_has_its_caution():
    words = " ".join(CAUTIONS)
    for danger in (
        "Local rules",
        "Electricity",
        "Lamp",
        "Glass",
        "pressure",
        "Chemicals",
        "Animals",
    ):
        assert danger in words
