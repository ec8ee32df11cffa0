import dataclasses

import numpy as np
import pytest

from aqualib.lesson.charts.water_volume import FilledTank, WaterVolume

TANK = FilledTank("box", 100.0, 40.0, 45.0, 8.0, 5.0, 180.0, 12.0, rock=16.0, heap=24.0)


def area(outline):
    x, y = np.asarray(outline).T
    return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0


@pytest.mark.parametrize("gravel_depth", [0.0, 5.0, 15.0])
@pytest.mark.parametrize("heap", [0.0, 16.0, 60.0])
def test_heap_takes_its_share_of_the_room_above_the_gravel(draw, gravel_depth, heap):
    tank = dataclasses.replace(TANK, gravel_depth=gravel_depth, heap=heap)
    section = draw(WaterVolume(), tank).section
    room = 180.0 * (1 - gravel_depth / 45.0)
    drawn = area(section.rock.get_xy()) / (100.0 * (45.0 - gravel_depth))
    assert drawn == pytest.approx(heap / room)
    assert section.rock.get_xy()[:, 1].min() == pytest.approx(
        section.water.get_xy()[:, 1].min() + gravel_depth
    )


def test_more_rock_than_finds_room_is_not_drawn():
    assert dataclasses.replace(TANK, heap=500.0).rock_share == 0.75
    assert dataclasses.replace(TANK, gravel_depth=45.0).rock_share == 0.75


def test_sum_adds_up(draw):
    chart = draw(WaterVolume(), TANK)
    texts = [text.get_text() for text in chart.sums]
    assert texts == ["180 L", "−12 L", "−16 L", "152 L"]
    heights = [text.get_position()[1] for text in chart.sums]
    assert heights == sorted(heights, reverse=True)


def test_plan_lies_under_the_section_and_is_to_its_scale(draw):
    chart = draw(WaterVolume(), TANK)
    plan, water = chart.plan.get_xy(), chart.section.water.get_xy()
    assert np.ptp(plan, axis=0) == pytest.approx([100.0, 40.0])
    assert plan[:, 0].min() == pytest.approx(water[:, 0].min())
    assert plan[:, 1].max() < water[:, 1].min()
