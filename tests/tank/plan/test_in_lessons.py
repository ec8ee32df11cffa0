"""A system as the lessons' sliders ask for it: the example gives the running tank back."""

import pytest
from plan_systems import college, nano

from aqualib.parameters import parameters
from aqualib.running_tank import running_tank
from aqualib.tank.plan import example_system, numbers_for_lessons

NOT_TOLD = {"feeding_ration"}
"""Rows of the running tank that a keeper would not know of their own."""


@pytest.mark.parametrize("marine", [False, True], ids=["fresh", "marine"])
def test_the_example_is_the_running_tank_in_every_row(marine):
    """One value in the whole project: what the plan works out is what the lessons open on."""
    wanted = running_tank().marine if marine else running_tank().fresh
    found = numbers_for_lessons(example_system(marine=marine))
    assert set(wanted) - set(found) == NOT_TOLD
    # What the twin is not written down for is the fresh tank's, in the file as in the lessons.
    same = {row for row in wanted if wanted[row] == running_tank().fresh[row]} if marine else set()
    apart = {
        row: (found[row], wanted[row])
        for row in set(wanted) - NOT_TOLD - same
        if found[row] != pytest.approx(wanted[row], rel=0.05)
    }
    assert apart == {}


@pytest.mark.parametrize("system", [nano(), college()], ids=["nano", "college"])
def test_every_number_is_one_of_a_row(system):
    found = numbers_for_lessons(system)
    assert set(found) <= set(parameters())
    assert all(abs(value) < 1e9 for value in found.values())
    # No lamp, no carbon, no sides: the lessons keep theirs.
    assert not {"lamp_power", "carbon_mass", "tank_length", "nitrate_now"} & set(found)
