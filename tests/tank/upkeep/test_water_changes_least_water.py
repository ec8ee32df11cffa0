"""Least water: a search through every schedule, round by round, finds nothing better."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep.water_changes import (
    after_water_changes,
    least_water,
    schedule_for_interval,
    share_needed,
    steady_peak,
)
from aqualib.units import Q
from aqualib.validity import ValidityError


def mg(value):
    return Q(value, "mg/L")


def daily(value):
    return Q(value, "mg/L/day")


def highest_in_the_long_run(gain, share, source):
    """The level before a change after very many rounds, made one after another."""
    level = 0.0
    for _ in range(4000):
        level = (level + gain) * (1 - share) + source * share
    return level + gain


@pytest.mark.parametrize(
    ("gain", "limit", "source", "largest"),
    [(1.0, 40.0, 0.0, 0.25), (2.0, 50.0, 10.0, 0.33), (3.0, 30.0, 5.0, 0.5), (0.7, 20.0, 3.0, 0.2)],
)
def test_brute_force_finds_nothing_better(gain, limit, source, largest):
    shares = np.arange(0.005, largest + 1e-9, 0.005)
    found = []
    each_interval = np.arange(1, 29)
    peaks = highest_in_the_long_run(gain * each_interval[:, None], shares, source)
    for days, peak in zip(each_interval, peaks, strict=True):
        for share in shares[peak <= limit + 1e-9][:1]:
            found.append((share / days * 7 * 100, days))
    assert found
    ours = least_water(daily(gain), mg(limit), mg(source), Q(100, "L"), largest)
    water = ours.water.m_as("L/week")
    assert water <= min(w for w, _ in found) + 1e-9
    # The grid of shares is coarse: a day's worth of it is what the search can miss by.
    assert water == pytest.approx(min(w for w, _ in found), rel=0.05)
    assert ours.interval.m_as("day") >= max(d for _, d in found)
    kept = highest_in_the_long_run(gain * ours.interval.m_as("day"), ours.share, source)
    assert kept == pytest.approx(limit, rel=1e-6)


@given(
    gain=st.floats(0, 3),
    limit=st.floats(20, 100),
    source=st.floats(0, 10),
    largest=st.floats(0.31, 1),
)
def test_longest_interval_that_fits(gain, limit, source, largest):
    plan = least_water(daily(gain), mg(limit), mg(source), Q(100, "L"), largest)
    days = plan.interval.m_as("day")
    assert 1 <= days <= 28
    assert days == round(days)
    assert plan.share <= largest + 1e-8
    one_longer = gain * (days + 1) / (limit - source)
    assert days == pytest.approx(28) or one_longer > largest - 1e-8


@given(interval=st.floats(0.1, 20), gain=st.floats(0.01, 1))
def test_no_interval_saves_water(interval, gain):
    plan = schedule_for_interval(daily(gain), mg(40), mg(5), Q(100, "L"), Q(interval, "day"))
    assert plan.water.m_as("L/week") == pytest.approx(7 * 100 * gain / 35, rel=1e-9)
    peak = steady_peak(mg(gain * interval), plan.share, mg(5)) if plan.share >= 0.001 else mg(40)
    assert peak.m_as("mg/L") == pytest.approx(40, rel=1e-9)


def test_agrees_with_rounds_and_share():
    plan = least_water(daily(1), mg(40), mg(5), Q(100, "L"), 0.3)
    gain = mg(plan.interval.m_as("day"))
    assert plan.share == pytest.approx(share_needed(gain, mg(40), mg(5)))
    late = after_water_changes(mg(0), gain, plan.share, mg(5), 1000) + gain
    assert late.m_as("mg/L") == pytest.approx(40)


def test_nothing_made_needs_nothing():
    plan = least_water(daily(0), mg(40), mg(5), Q(100, "L"), 0.3)
    assert (plan.share, plan.water.magnitude) == (0, 0)
    assert plan.interval.m_as("day") == pytest.approx(28)


def test_arrays():
    largest = np.array([0.1, 0.25, 0.5])
    plan = least_water(daily(1), mg([[40.0], [20.0]]), mg(0), Q(100, "L"), largest)
    assert plan.interval.m_as("day") == pytest.approx(np.array([[4, 10, 20], [2, 5, 10]]))


def test_out_of_reach():
    with pytest.raises(ValidityError, match="largest_share"):
        least_water(daily(10), mg(40), mg(0), Q(100, "L"), 0.2)
    assert least_water(daily(10), mg(40), mg(0), Q(100, "L"), 0.25).share == 0.25
    with pytest.raises(ValidityError, match="out of reach"):
        least_water(daily(1), mg(5), mg(5), Q(100, "L"), 0.5)
    with pytest.raises(ValidityError, match="out of reach"):
        schedule_for_interval(daily(10), mg(40), mg(0), Q(100, "L"), Q(5, "day"))
