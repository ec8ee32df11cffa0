"""The ammonia of one meal: all of it comes, fastest at the peak, on average after two of them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from aqualib.parameters import parameter
from aqualib.tank.load.after_a_meal import ammonia_after_meal
from aqualib.units import Q
from aqualib.validity import ValidityError

HOURS, PEAKS = st.floats(0.0, 500.0), st.floats(0.5, 48.0)


@given(HOURS, PEAKS)
def test_the_share_is_the_pace_added_up(hours, peak):
    added, _ = quad(lambda t: float(ammonia_after_meal.bare(t, peak).pace), 0.0, hours)
    assert ammonia_after_meal.bare(hours, peak).share == pytest.approx(added, abs=1e-6)


@given(PEAKS)
def test_most_comes_at_the_peak(peak):
    around = ammonia_after_meal.bare(peak * np.array([0.95, 1.0, 1.05]), peak).pace
    assert around[1] == max(around)


@given(PEAKS)
def test_it_takes_two_peaks_on_average(peak):
    mean, _ = quad(lambda t: t * float(ammonia_after_meal.bare(t, peak).pace), 0.0, 60.0 * peak)
    assert mean == pytest.approx(2.0 * peak, rel=1e-6)


def test_sockeye_were_back_at_their_baseline_when_nearly_all_had_come():
    """Peak 4 to 4.5 h after 8:30; at the baseline from 2:00, 17.5 h after."""
    share = ammonia_after_meal(Q(17.5, "hour"), Q(4.25, "hour")).share
    assert share > 0.9


def test_the_delay_of_a_tank_is_not_shorter_than_that_of_fish_whose_peak_comes_early():
    delay, peak = parameter("food_to_ammonia_delay"), parameter("excretion_peak")
    soon, usual = (2.0 * hours / 24.0 for hours in (peak.low, peak.value))
    assert soon <= delay.low + 0.05
    assert delay.low < usual < delay.value


def test_time_does_not_run_backwards():
    with pytest.raises(ValidityError, match="time"):
        ammonia_after_meal(Q(-1, "hour"))
