"""Weak flow, air, rattle and leak: the sums are those of the flow lesson."""

import pytest

from aqualib.filtration.hydraulics import operating_point
from aqualib.lesson import tank_sheet as our
from aqualib.tank.plan import example_system, make_plan
from aqualib.tank.symptoms import diagnose
from aqualib.tank.symptoms.flow_and_noise import (
    air,
    clean_flow,
    film_on_top,
    leak,
    rattle,
    weak_flow,
)
from aqualib.units import Q

FLOW = 1e-3 / 3600
BOX = 1150 * FLOW, 2.0, 0.016


def test_clean_pads_take_a_little_of_the_running_tank_s_flow():
    bare_loop = operating_point(our.pump(), our.plumbing()).flow.m_as("L/h")
    assert 0.99 * bare_loop < clean_flow(*BOX) / FLOW < bare_loop


def test_a_narrow_hose_lets_less_through_and_needs_no_culprit():
    assert clean_flow(1150 * FLOW, 2.0, 0.012) < 0.9 * clean_flow(*BOX)
    narrow = weak_flow(500 * FLOW, 500 * FLOW, 1150 * FLOW, 2.0, 0.012)
    assert narrow.place == 2
    assert weak_flow(500 * FLOW, 500 * FLOW, *BOX).place == 5


def test_more_than_the_box_says_leaves_no_unknown():
    assert weak_flow(100 * FLOW, 2000 * FLOW, *BOX).figures["unknown"].bare == 0.0


def test_a_bucket_above_the_box_is_doubted_here_as_in_the_plan():
    """1600 L/h of a pump of 1150: with pads, without them, or both; 1150 itself may be."""
    for flow, without in ((1600, 1600), (1600, 700), (500, 1600)):
        assert weak_flow(flow * FLOW, without * FLOW, *BOX).place == 0
    assert weak_flow(1150 * FLOW, 1150 * FLOW, *BOX).place == 2
    system = example_system().changed(
        "pump", rated_flow=Q(1150, "L/h"), measured_flow=Q(1600, "L/h")
    )
    plan = make_plan(system, doubt=False, changes=False)
    assert any("one of them is wrong" in alarm.words for alarm in plan.readings)
    found = diagnose("weak flow", flow=Q(1600, "L/h"), flow_without_pads=Q(1600, "L/h"))
    assert "nothing is wrong" not in found.words["likely"]


def test_air_and_rattle_ask_the_same_in_another_order():
    for hours, flow in ((5, 200), (100, 200), (100, 700)):
        one = air(3600.0 * hours, flow * FLOW, *BOX)
        other = rattle(flow * FLOW, 3600.0 * hours, *BOX)
        assert other.steps == one.steps[::-1]


def test_what_is_missing_is_shared_out():
    found = leak(1e-3 / 86400, 0.03 / 86400, 1.0, 0.5).figures
    assert found["gone"].bare == pytest.approx(
        found["air"].bare + found["unseen"].bare + found["caught"].bare
    )


def test_a_film_matters_where_oxygen_is_low_or_the_flow_is_weak():
    def place(oxygen, flow):
        return film_on_top(1e-3 * oxygen, flow * FLOW, 297.65, 0.0, *BOX).place

    assert (place(2, 700), place(5, 200), place(7, 200), place(7, 700)) == (0, 1, 2, 3)
    # Salt water holds less, so that the same reading is nearer to full.
    assert film_on_top(5e-3, 700 * FLOW, 297.65, 35.0, *BOX).place == 3


def test_less_flow_without_pads_than_with_them_is_no_reading():
    assert weak_flow(1000 * FLOW, 300 * FLOW, *BOX).place == 1
    # A bucket errs: a little less is no contradiction.
    assert weak_flow(700 * FLOW, 650 * FLOW, *BOX).place == 2
