"""Water changes: the closed form is the sum of its rounds, and its long run is where it goes."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep import water_changes as w
from aqualib.units import Q
from aqualib.validity import ValidityError

levels = st.floats(0, 500)
shares = st.floats(0.01, 1)


def mg(value):
    return Q(value, "mg/L")


def one_by_one(initial, gain, fraction, source, count):
    level = initial
    for _ in range(count):
        level = (1 - fraction) * (level + gain) + fraction * source
    return level


@given(c0=levels, p=levels, x=st.floats(0, 1), cw=levels, n=st.integers(0, 200))
def test_closed_form_is_the_rounds_one_by_one(c0, p, x, cw, n):
    ours = w.after_water_changes.bare(c0, p, x, cw, n)
    assert ours == pytest.approx(one_by_one(c0, p, x, cw, n), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("fraction", [0.0, 1e-300, 1e-15, 1e-9])
def test_tiny_shares_lose_no_digits(fraction):
    ours = w.after_water_changes.bare(1.0, 2.0, fraction, 0.0, 10.0)
    assert ours == pytest.approx(21.0, rel=1e-7)


@given(c0=levels, p=levels, x=shares, cw=levels)
def test_the_long_run_does_not_know_the_start(c0, p, x, cw):
    late = w.after_water_changes.bare(c0, p, x, cw, 5000)
    trough = w.steady_trough.bare(p, x, cw)
    assert late == pytest.approx(trough, rel=1e-9, abs=1e-9)
    # One more round leads from the trough to itself.
    assert one_by_one(trough, p, x, cw, 1) == pytest.approx(trough, rel=1e-9, abs=1e-9)
    assert w.steady_peak.bare(p, x, cw) - trough == pytest.approx(p, rel=1e-9, abs=1e-6)


@given(p=levels, cw=levels, x=st.floats(0.01, 0.9), n=st.integers(1, 50))
def test_more_water_changed_means_less_left(p, cw, x, n):
    # Clean start above the new water: more changing always helps.
    less = w.after_water_changes.bare(cw + 10.0, p, x, cw, n)
    more = w.after_water_changes.bare(cw + 10.0, p, x + 0.05, cw, n)
    assert more <= less + 1e-9
    assert w.steady_peak.bare(p, x + 0.05, cw) <= w.steady_peak.bare(p, x, cw) + 1e-9


@given(p=st.floats(0.01, 50), x=shares, cw=levels)
def test_share_needed_undoes_steady_peak(p, x, cw):
    peak = w.steady_peak.bare(p, x, cw)
    assert w.share_needed(mg(p), mg(peak), mg(cw)) == pytest.approx(x, rel=1e-7)


@given(remaining=st.floats(1e-6, 1), x=st.floats(0.001, 0.999))
def test_whole_changes_are_enough_and_one_fewer_is_not(remaining, x):
    exact, whole = w.changes_to_reach.bare(remaining, x)
    assert (1 - x) ** exact == pytest.approx(remaining, rel=1e-9)
    assert (1 - x) ** whole <= remaining * (1 + 1e-6)
    assert whole == 0 or (1 - x) ** (whole - 1) > remaining * (1 - 1e-6)


@given(x=st.floats(0.01, 0.9), n=st.integers(0, 12))
def test_whole_is_not_one_too_many(x, n):
    remaining = (1 - x) ** n
    if remaining >= 1e-6:
        assert w.changes_to_reach(remaining, x).whole == n


def test_nothing_to_thin_takes_no_change():
    assert w.changes_to_reach(1, 0.5) == (0, 0)
    assert math.copysign(1, w.changes_to_reach(1, 0.5).exact) == 1


def test_arrays():
    shares_ = np.array([0.0, 0.25, 1.0])
    many = w.after_water_changes(mg(10), mg(5), shares_, mg(1), np.array([[0], [3]])).m_as("mg/L")
    assert many.shape == (2, 3)
    for i, n in enumerate((0, 3)):
        for j, x in enumerate(shares_):
            assert many[i, j] == pytest.approx(one_by_one(10, 5, x, 1, n))
    assert many[0] == pytest.approx([10, 10, 10])


def test_limit_out_of_reach_is_refused():
    assert w.share_needed(mg(10), mg(15), mg(5)) == 1
    for limit, source in ((14.9, 5), (5, 5), (4, 5)):
        with pytest.raises(ValidityError, match="out of reach") as caught:
            w.share_needed(mg(10), mg(limit), mg(source))
        assert caught.value.parameter == "limit"


def test_no_change_is_no_divisor():
    for function in (w.steady_peak, w.steady_trough):
        with pytest.raises(ValidityError, match="fraction"):
            function(mg(1), 0, mg(0))
    with pytest.raises(ValidityError, match="fraction"):
        w.changes_to_reach(0.5, 0)


def test_percent_is_a_share():
    assert w.steady_peak(mg(10), Q(25, "percent"), mg(0)).m_as("mg/L") == pytest.approx(40)
