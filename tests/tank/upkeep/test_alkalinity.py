"""The alkalinity bill: the dose holds the level, and falling levels are refused below zero."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep import alkalinity as a
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.nitrogen import alkalinity_demand


def mg(value):
    return Q(value, "mg/L")


@given(n=st.floats(0, 5), litres=st.floats(10, 1000))
def test_the_fall_is_the_demand_spread_over_the_water(n, litres):
    fall = a.alkalinity_used(Q(n, "g/day"), Q(litres, "L")).m_as("mg/L/day")
    demand = alkalinity_demand(Q(n, "g/day")).m_as("mg/day")
    assert fall * litres == pytest.approx(demand, rel=1e-12, abs=1e-12)


@given(
    n=st.floats(0, 2),
    change=st.floats(0, 200),
    level=st.floats(0, 300),
    new=st.floats(0, 300),
)
def test_the_week_balances(n, change, level, new):
    bill = a.bicarbonate_bill(Q(n, "g/day"), Q(change, "L/week"), mg(level), mg(new))
    used, brought, soda = (part.m_as("g/week") for part in bill)
    added = soda / 84.006 * 100.086 / 2
    if soda > 0:
        assert added + brought == pytest.approx(used, rel=1e-9, abs=1e-9)
    else:
        assert brought >= used - 1e-9
    assert soda >= 0


def test_a_week_of_many_small_steps_stays_at_the_level():
    volume, level, new, change = 100.0, 80.0, 20.0, 30.0
    bill = a.bicarbonate_bill(Q(0.2, "g/day"), Q(change, "L/week"), mg(level), mg(new))
    dose = bill.bicarbonate.m_as("mg/week") / 84.006 * 50.043 / volume
    fall = a.alkalinity_used(Q(0.2, "g/day"), Q(volume, "L")).m_as("mg/L/week")
    now = level
    for _ in range(1000):
        now += (dose - fall) / 1000
        now += (new - now) * change / volume / 1000
    assert now == pytest.approx(level, rel=1e-3)


@given(
    initial=st.floats(100, 300),
    fall=st.floats(0, 20),
    share=st.floats(0.3, 1),
    new=st.floats(100, 300),
    count=st.integers(0, 60),
)
def test_closed_form_is_the_rounds_one_by_one(initial, fall, share, new, count):
    level = initial
    for _ in range(count):
        level = (1 - share) * (level - fall) + share * new
    ours = a.alkalinity_after_changes(mg(initial), mg(fall), share, mg(new), count)
    assert ours.m_as("mg/L") == pytest.approx(level, rel=1e-9)
    swing = a.alkalinity_swing(mg(fall), share, mg(new))
    before, after = (part.m_as("mg/L") for part in swing)
    assert after - before == pytest.approx(fall, abs=1e-9)
    assert (1 - share) * before + share * new == pytest.approx(after, rel=1e-9)


def test_alkalinity_that_runs_out_is_refused():
    assert a.alkalinity_swing(mg(25), 0.25, mg(100)).before.m_as("mg/L") == pytest.approx(0)
    with pytest.raises(ValidityError, match="uses the alkalinity up") as caught:
        a.alkalinity_swing(mg(26), 0.25, mg(100))
    assert caught.value.parameter == "fall"
    # Long enough to run out only after some changes.
    assert a.alkalinity_after_changes(mg(100), mg(30), 0.25, mg(100), 3).magnitude > 0
    with pytest.raises(ValidityError, match="uses the alkalinity up"):
        a.alkalinity_after_changes(mg(100), mg(30), 0.25, mg(100), 20)
    with pytest.raises(ValidityError, match="uses the alkalinity up"):
        a.alkalinity_after_changes(mg(10), mg(30), 0.5, mg(1000), 1)
    assert a.alkalinity_after_changes(mg(10), mg(30), 0.5, mg(1000), 0).m_as(
        "mg/L"
    ) == pytest.approx(10)


@given(
    initial=st.floats(0, 200),
    fall=st.floats(0, 100),
    share=st.floats(0, 1),
    new=st.floats(0, 200),
    count=st.integers(0, 12),
)
def test_refused_exactly_when_a_round_goes_below_zero(initial, fall, share, new, count):
    level, lowest = initial, 1e9
    for _ in range(count):
        lowest = min(lowest, level - fall)
        level = (1 - share) * (level - fall) + share * new
    if abs(lowest) < 1e-6:
        return
    try:
        a.alkalinity_after_changes(mg(initial), mg(fall), share, mg(new), count)
        refused = False
    except ValidityError:
        refused = True
    assert refused == (lowest < 0)


def test_arrays():
    bill = a.bicarbonate_bill(
        Q([0.1, 0.2], "g/day"), Q([[0.0], [1000.0]], "L/week"), mg(80), mg(120)
    )
    assert bill.bicarbonate.shape == (2, 2)
    assert np.all(bill.bicarbonate.magnitude[1] == 0)
    with pytest.raises(ValidityError, match="uses the alkalinity up"):
        a.alkalinity_swing(mg([1.0, 50.0]), 0.25, mg(100))
