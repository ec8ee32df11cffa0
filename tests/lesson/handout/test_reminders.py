"""Whose care is meant: of a filter that runs, or of a new one."""

from plans_to_print import START

from aqualib.lesson.handout.reminders import LAMP_OFF, NEW, of_a_new_filter, of_a_running_filter
from aqualib.tank.plan import System, make_plan


def test_a_new_filter_tops_up_and_presses_the_switch_from_the_first_day_and_once_each(plan):
    found = of_a_new_filter(plan)
    whats = [task.what for task in found if not task.what.startswith(NEW)]
    assert len(whats) == len(set(whats))
    first = {task.what.split()[0]: (task.first - START).days for task in found}
    assert (first["Press"], first["Top"], first["Rinse"]) == (0, 2, 18 + 35 - 4)
    assert {task.what for task in of_a_running_filter(plan)} == set(whats)


def test_the_lamp_is_off_until_go_and_only_where_there_is_one(plan):
    dark = [task.first for task in of_a_new_filter(plan) if LAMP_OFF in task.why]
    assert (dark[0], (dark[-1] - START).days) == (START, 18)
    assert not any(LAMP_OFF in task.why for task in of_a_new_filter(make_plan(System(), START)))
