"""The changes outside a filter: hose, outlet, air and habits, each offered where it can help."""

import pytest
from plan_systems import as_it_was_bought, nano, tried

from aqualib.lesson.handout.ranked import NOTHING, worth
from aqualib.tank.plan import example_system, filled, gains
from aqualib.tank.plan.outside_the_filter import BORES
from aqualib.units import Q

BOUGHT, AFTER = tried(as_it_was_bought())


def test_each_change_around_the_filter_changes_what_it_says():
    whole, _ = filled(as_it_was_bought())
    assert AFTER["a wider hose"].whole.bore > whole.bore
    assert AFTER["a wider hose"].whole.own_bore == whole.own_bore
    assert AFTER["clean twice as often"].whole.clean_every == whole.clean_every / 2
    assert AFTER["feed a quarter less"].whole.feed == pytest.approx(0.75 * whole.feed)
    assert AFTER["change more water"].after.nitrate_peak < BOUGHT.nitrate_peak
    assert AFTER["more air"].after.carried.tank_oxygen.best > BOUGHT.carried.tank_oxygen.best


def test_no_wider_hose_than_is_sold_and_none_where_the_flow_was_measured():
    _, changes = tried(example_system().changed("hose", bore=Q(1000 * BORES[-1], "mm")))
    assert "a wider hose" not in changes
    assert "a wider hose" not in tried(nano())[1]


def test_an_outlet_beyond_the_pump_is_lowered_and_no_hose_mends_it():
    """Invented: a pump of 1 m under an outlet 1.2 m up, in the lessons' filter."""
    high = example_system().changed("pump", rated_head=Q(1, "m"))
    high = high.changed("hose", lift=Q(1.2, "m"), bore=Q(12, "mm"), length=Q(4, "m"))
    before, changes = tried(high)
    assert before.flow_clean == 0
    lower, shorter = changes["a lower outlet"], changes["a shorter hose"]
    assert next(iter(changes)) == "a lower outlet"
    assert gains(before, lower.after)[0] > 0
    assert (shorter.whole.hose_length, shorter.whole.bore) == (2, 0.016)
    assert shorter.after == before
    assert worth(before, shorter.after) == worth(before, changes["a wider hose"].after) == NOTHING
    # Once it is lowered the hose decides, and both are offered no more where the flow arrives.
    of_lower, then = tried(high.changed("hose", lift=Q(0, "m")))
    assert of_lower == lower.after
    assert "a lower outlet" not in then
    assert then["a shorter hose"].after.flow_clean > then["a wider hose"].after.flow_clean
    assert "a shorter hose" not in tried(example_system())[1]
    reached = high.changed("hose", lift=Q(0.9, "m"))
    assert "a lower outlet" in tried(reached)[1]
    assert "a lower outlet" not in tried(reached.changed("pump", measured_flow=Q(300, "L/h")))[1]


def test_a_bucket_far_below_the_sum_is_the_first_change():
    """Invented: 30 L/h in the lessons' filter, far below its sum; 81 % of that is as usual."""
    lost = example_system().changed("pump", measured_flow=Q(30, "L/h"))
    before, changes = tried(lost)
    first = changes["find the lost flow"]
    assert next(iter(changes)) == "find the lost flow"
    assert first.words.startswith("Find what takes the flow")
    by_sum = tried(example_system().changed("pump", measured_flow=None))[0]
    assert first.after.flow_clean == pytest.approx(by_sum.flow_clean)
    assert gains(before, first.after).food > 0
    usual = Q(0.81 * by_sum.flow_clean, "m**3/s").to("L/h")
    kept = example_system().changed("pump", measured_flow=usual)
    assert "find the lost flow" not in tried(kept)[1]
