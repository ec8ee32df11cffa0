"""The loop of a canister: hoses as wide as they are, an outlet as high, bends as many."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from aqualib.lesson.charts.pump_and_loop import PARTS
from aqualib.lesson.drawing import style
from aqualib.lesson.drawing.loop_section import (
    CANISTER,
    HIGH,
    LIFTED,
    TANK,
    THICK,
    THIN,
    WIDE,
    LoopSection,
)


@pytest.fixture
def section():
    axes = Figure(figsize=(WIDE, HIGH)).add_axes((0.0, 0.0, 1.0, 1.0))
    style.bare(axes, WIDE, HIGH)
    return LoopSection(axes, PARTS)


def test_water_runs_from_the_tank_into_the_canister_and_back_over_the_water(section):
    section.move(16.0, 4.0, 0.0)
    down, up = (np.array(hose.get_data()).T for hose in section.hoses)
    left, floor, wide, deep = TANK
    assert left < down[0, 0] < left + wide
    assert floor < down[0, 1] < floor + deep
    canister = CANISTER[0], CANISTER[1] + CANISTER[3]
    assert down[-1, 0] == canister[0]
    assert up[0, 0] == CANISTER[0] + CANISTER[2]
    # The pump sits in the head, over the media.
    assert up[0, 1] > canister[1] > down[-1, 1]
    assert left < up[-1, 0] < left + wide
    assert not section.lift.get_visible()


@pytest.mark.parametrize(("lift", "share"), [(0.0, 0.0), (0.75, 0.5), (1.5, 1.0)])
def test_the_outlet_rises_with_the_lift(section, lift, share):
    section.move(16.0, 4.0, 0.0)
    lowest = max(section.hoses[1].get_ydata())
    section.move(16.0, 4.0, lift)
    assert max(section.hoses[1].get_ydata()) - lowest == pytest.approx(share * LIFTED)
    assert section.lift.get_visible() == (lift > 0.0)
    assert max(section.hoses[1].get_ydata()) < HIGH


def test_hoses_are_as_wide_as_their_bore_and_bends_as_many_as_there_is_room(section):
    wide = []
    for bore in (9.0, 16.0, 32.0):
        section.move(bore, 3.0, 0.0)
        wide.append(section.hoses[0].get_linewidth())
    assert (wide[0], wide[-1]) == (THIN, THICK)
    assert wide == sorted(wide)
    counts = {}
    for elbows in (0, 3, 12):
        section.move(16.0, elbows, 0.0)
        counts[elbows] = len(section.bends.get_xdata())
    assert counts == {0: 0, 3: 3, 12: 6}
