"""The search over stacks: each stack as if run alone, and a trade-off that is one."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.capture.orders import CLASSES, best_stacks, on_the_front
from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.particle_sizes import size_classes
from aqualib.filtration.capture.run import clog_run
from aqualib.filtration.hydraulics.loop import hose_loss
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.units import Q
from aqualib.validity import ValidityError

WARM = Q(25, "degC")
AREA = Q(400, "cm**2")
PUMP = PumpCurve.from_limits(Q(2.2, "m"), Q(1200, "L/h"))
LOSSES = (hose_loss(Q(16, "mm"), Q(3, "m"), WARM),)
TANK = {"production": Q(2, "g/day"), "volume": Q(200, "L"), "temperature": WARM}


def search(height=60, **changes):
    pump, area = changes.pop("pump", PUMP), changes.pop("area", AREA)
    return best_stacks(Q(height, "mm"), area, pump, LOSSES, **{**TANK, **changes})


def test_every_order_is_tried_once():
    found = search(60)
    assert len(found) == len({stack.grades for stack in found}) == 27


def test_each_is_what_a_run_of_its_own_gives():
    for stack in search(60)[::5]:
        stages = [pad(grade, AREA, Q(20, "mm")) for grade in stack.grades]
        sizes = size_classes(count=CLASSES)
        alone = clog_run(stages, PUMP, LOSSES, duration=Q(180, "day"), sizes=sizes, **TANK)
        assert stack.flow.m == pytest.approx(alone.flow[0].m)
        assert stack.days.m == pytest.approx(alone.cleaning_due.m, rel=1e-9)
        there = np.interp(alone.cleaning_due.m, alone.time.m, alone.suspended.m)
        assert stack.suspended.m == pytest.approx(there, rel=1e-9)
        passing = np.prod(1 - alone.efficiency, axis=0) @ size_classes(count=CLASSES).mass_shares
        assert stack.captured == pytest.approx(1 - passing)


def test_order_changes_days_and_never_what_is_caught():
    found = {stack.grades: stack for stack in search(60)}
    sensible, backward = (
        found[order] for order in (("coarse", "medium", "fine"), ("fine", "medium", "coarse"))
    )
    assert sensible.captured == pytest.approx(backward.captured, rel=1e-12)
    assert sensible.days > 1.5 * backward.days
    assert not backward.best
    assert backward.ended_by == "fine in place 1"


def test_a_weak_pump_on_a_small_pad_ends_on_its_flow():
    weak, small = PumpCurve.from_limits(Q(2, "mm"), Q(1200, "L/h")), Q(50, "cm**2")
    (stack,) = (s for s in search(20, pump=weak, area=small) if s.grades == ("fine",))
    layer = pad("fine", small, Q(20, "mm"))
    alone = clog_run([layer], weak, LOSSES, duration=Q(10, "day"), **TANK)
    assert stack.ended_by == alone.ended_by == "flow"
    assert stack.days.m == pytest.approx(alone.cleaning_due.m, rel=0.1)


def test_the_front_is_one():
    found = search(80)
    front = [stack for stack in found if stack.best]
    assert front == list(found[: len(front)])
    for one in front:
        assert not [s for s in found if s.captured > one.captured + 1e-9 and s.days >= one.days]
    assert len(front) > 1
    days = [stack.days.m for stack in front]
    assert days == sorted(days)


def test_front_of_a_few_points():
    caught, days = np.array([0.9, 0.8, 0.7, 0.8]), np.array([10.0, 20.0, 15.0, 20.0])
    assert on_the_front(caught, days).tolist() == [True, True, False, True]


def test_a_settling_space_first():
    plain, spared = (
        max(search(40, settling=s), key=lambda stack: stack.days.m)
        for s in (None, settling_space(AREA, Q(60, "mm")))
    )
    assert spared.days > plain.days


@pytest.mark.parametrize("height", [10, 140])
def test_no_or_too_many_pads(height):
    with pytest.raises(ValidityError, match="tray_height"):
        search(height)
