"""Six drawings: each number of the list stands on the drawing, and an open filter is open."""

import numpy as np
import pytest

from aqualib.lesson.charts.care_in_steps import LIFTED, STEPS, Care, CareInSteps

NUMBERS = range(1, len(STEPS) + 1)


@pytest.mark.parametrize("number", NUMBERS)
def test_every_number_of_the_list_stands_on_the_drawing(draw, number):
    chart = draw(CareInSteps(), Care(number))
    step = STEPS[number - 1]
    assert chart.title.get_text() == f"{number}  {step.title}"
    middles = [disc.get_xy()[:-1].mean(axis=0) for disc in chart.marks]
    assert len(middles) == len(step.do)
    apart = [np.hypot(*(one - other)) for one in middles for other in middles if one is not other]
    assert min(apart, default=99) > 17
    assert chart.section.arrows.get_visible() == step.runs
    bottom = chart.section.head.get_xy()[:, 1].min()
    assert bottom == pytest.approx(chart.lid + (LIFTED if step.open else 0.0))


def test_the_ways_of_the_hand_are_all_there():
    """What the lesson promises: priming, vent, ring, impeller, cleaning."""
    titles = " ".join(step.title for step in STEPS)
    assert all(word in titles for word in ("priming", "vent", "ring", "impeller", "clean"))
    # Plugs come out before hands go in, and the power comes back last.
    assert "plug" in STEPS[0].do[0][1]
    assert [step.runs for step in STEPS] == [False] * 5 + [True]
