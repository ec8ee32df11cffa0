"""The calendar throws floss away and tests bags; a pad of foam is rinsed as before."""

from datetime import date

import pytest

from aqualib.lesson.handout.bags_and_floss import floss_and_bags
from aqualib.lesson.handout.reminders import of_a_new_filter, of_a_running_filter
from aqualib.tank.plan import Tray, example_system, make_plan
from aqualib.units import Q

FIRST = date(2030, 3, 2)


def plan_with(*holds):
    trays = tuple(Tray(held, Q(4, "cm")) for held in (*holds, "porous rings"))
    system = example_system().changed("filter", trays=trays)
    return make_plan(system, FIRST, doubt=False, changes=False)


def test_floss_is_renewed_when_its_face_is_full_and_never_rinsed():
    """With nothing before it it fills first: its own day, rounded down."""
    plan = plan_with("polishing floss")
    (task,) = floss_and_bags(plan, FIRST)
    days = plan.now.due_of["polishing floss"] / 86400.0
    assert task.every == max(1, int(days)) < 35
    for tasks in (of_a_running_filter(plan), of_a_new_filter(plan)):
        assert "Put new floss in and throw the old away" in [t.what for t in tasks]
        assert not any("fine pad" in t.what for t in tasks)


@pytest.mark.parametrize("bag", ["zeolite", "ion-exchange resin", "phosphate remover"])
def test_a_bag_is_tested_before_and_behind(bag):
    (task,) = floss_and_bags(plan_with("coarse pad", bag), FIRST)
    assert task.what == f"Test the water before the {bag} and behind it"
    assert "spent when" in task.why


def test_carbon_and_pads_have_their_tasks_elsewhere():
    plan = plan_with("coarse pad", "carbon")
    assert list(floss_and_bags(plan, FIRST)) == []
