"""Pumps: curves from the box, from points, and at another speed."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.pump import PumpCurve, at_speed, pump_head
from aqualib.units import Q
from aqualib.validity import ValidityError

# One pump of an example network (Net3, "Lake Source") shipped with wntr 1.5.0 (revised BSD):
# US gallons a minute, feet.
OPEN_FLOWS = Q([0.0, 2000.0, 4000.0], "gallon/minute")
OPEN_HEADS = Q([104.0, 92.0, 63.0], "ft")


def test_ends_of_the_curve():
    pump = PumpCurve.from_limits(Q(2, "m"), Q(1000, "L/h"))
    assert pump(Q(0, "L/h")).m == 2
    assert pump(Q(1000, "L/h")).m == pytest.approx(0, abs=1e-12)
    assert pump(Q([0, 500], "L/h")).m.tolist() == [2, 1.5]
    assert pump(Q(500, "L/h")) == pump_head(Q(500, "L/h"), Q(2, "m"), Q(1000, "L/h"))


def test_points_are_met_and_joined_by_straight_lines():
    pump = PumpCurve.from_points(OPEN_FLOWS, OPEN_HEADS)
    np.testing.assert_allclose(pump(OPEN_FLOWS).m_as("ft"), OPEN_HEADS.m)
    assert pump(Q(1000, "gallon/minute")).m_as("ft") == pytest.approx(98)
    # The last line goes on: 29 ft fewer for each 2000 gallons a minute.
    end = Q(pump.maximum_flow, "m**3/s").m_as("gallon/minute")
    assert end == pytest.approx(4000 + 63 / 29 * 2000)
    assert pump.shut_off_head == pytest.approx(Q(104, "ft").m_as("m"))


def test_a_power_law_through_the_open_curve():
    """Its three points fix H = H0 - a Q^n; read between them it stays close to the lines."""
    exponent = np.log2((104 - 63) / (104 - 92))
    maximum = OPEN_FLOWS[1] * (104 / (104 - 92)) ** (1 / exponent)
    # Scaled down a hundredfold, to the size of a pump for a tank.
    fitted = PumpCurve.from_limits(OPEN_HEADS[0], maximum / 100, exponent)
    np.testing.assert_allclose(fitted(OPEN_FLOWS / 100).m_as("ft"), OPEN_HEADS.m, rtol=1e-9)
    joined = PumpCurve.from_points(OPEN_FLOWS / 100, OPEN_HEADS)
    between = Q(np.linspace(0, 40, 21), "gallon/minute")
    np.testing.assert_allclose(fitted(between).m, joined(between).m, rtol=0.04)


def test_a_curve_that_starts_late_is_led_back_to_no_flow():
    pump = PumpCurve.from_points(Q([100, 200], "L/h"), Q([3, 1], "m"))
    assert pump.shut_off_head == pytest.approx(5)
    assert pump(Q([0, 50, 250], "L/h")).m == pytest.approx([5, 4, 0])


@pytest.mark.parametrize(
    ("flows", "heads"),
    [([0, 1], [1, 1]), ([1, 1], [2, 1]), ([0, 1], [1, 2]), ([0, 1, 2], [2, 1]), ([0], [1])],
)
def test_points_out_of_order_are_refused(flows, heads):
    with pytest.raises(ValidityError, match="heads"):
        PumpCurve.from_points(Q(flows, "L/h"), Q(heads, "m"))


@pytest.mark.parametrize("bad", [2, Q(2, "kg"), Q(-1, "m"), Q(np.nan, "m"), None])
def test_bad_box(bad):
    with pytest.raises(ValidityError, match="shut_off_head"):
        PumpCurve.from_limits(bad, Q(1000, "L/h"))


def test_speed_there_and_back():
    point = (Q(800, "L/h"), Q(1.2, "m"), Q(15, "W"))
    back = at_speed(*at_speed(*point, 0.6), 1 / 0.6)
    assert [amount.m for amount in back] == pytest.approx([800, 1.2, 15])


def test_a_slowed_pump_has_its_whole_curve_shrunk():
    full = PumpCurve.from_limits(Q(2, "m"), Q(1000, "L/h"))
    slow = PumpCurve.from_limits(Q(0.5, "m"), Q(500, "L/h"))
    flow = Q(600, "L/h")
    moved = at_speed(flow, full(flow), Q(1, "W"), 0.5)
    assert slow(moved.flow).m == pytest.approx(moved.head.m)
