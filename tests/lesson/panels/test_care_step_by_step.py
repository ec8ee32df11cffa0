"""The panel of drawings: one slider, six sentences, each of them short and of its own."""

import pytest

from aqualib.lesson.charts.care_in_steps import STEPS
from aqualib.lesson.panels.care_step_by_step import care_panel
from aqualib.parameters import parameter

pytestmark = pytest.mark.usefixtures("lesson_start")


def test_the_slider_turns_over_all_drawings_and_no_more():
    row, panel = parameter("care_step"), care_panel()
    assert (row.low, row.high) == (1, len(STEPS))
    said = [panel.set(step=number) for number in range(1, len(STEPS) + 1)]
    assert len(set(said)) == len(STEPS)
    for step, sentence in zip(STEPS, said, strict=True):
        assert step.title in sentence
        assert len(sentence.split()) < 45
    panel.close()
