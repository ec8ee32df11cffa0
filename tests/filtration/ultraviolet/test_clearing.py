"""A tank under the lamp: closed forms against integration, round trips, limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from aqualib.filtration.ultraviolet.clearing import (
    kill_rate,
    lamp_kill_rate,
    share_passed,
    steady_count,
    survivors,
    time_to_clear,
)
from aqualib.filtration.ultraviolet.dose import delivered_fluence
from aqualib.filtration.ultraviolet.inactivation import (
    ORGANISMS,
    inactivated_share,
    tabled_inactivation,
)
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

VOLUMES = st.floats(0.01, 10.0)
FLOWS = st.floats(1e-5, 1e-2)
SHARES = st.floats(0.01, 1.0)
SIZE = (parameter("sleeve_radius").quantity, parameter("shell_radius").quantity)


@given(VOLUMES, FLOWS, SHARES, st.floats(0.01, 0.9999))
def test_there_and_back(volume, flow, inactivated, cleared):
    time = time_to_clear.bare(volume, flow, inactivated, cleared)
    assert survivors.bare(volume, flow, inactivated, time) == pytest.approx(1.0 - cleared, rel=1e-9)


@given(VOLUMES, FLOWS, SHARES, st.floats(0.01, 0.9999), st.floats(0.0, 0.99))
def test_there_and_back_with_growth(volume, flow, inactivated, cleared, of_it):
    growth = of_it * kill_rate.bare(flow, inactivated, volume)
    time = time_to_clear.bare(volume, flow, inactivated, cleared, growth)
    left = survivors.bare(volume, flow, inactivated, time, growth)
    assert left == pytest.approx(1.0 - cleared, rel=1e-9)


def test_what_grows_as_fast_as_it_is_killed_never_clears():
    slow_lamp = Q(1000, "L"), Q(100, "L/h"), 0.1
    rate = kill_rate(slow_lamp[1], slow_lamp[2], slow_lamp[0])
    for growth in (rate, 2 * rate):
        with pytest.raises(ValidityError, match="never clears"):
            time_to_clear(*slow_lamp, 0.99, growth)
    assert survivors(*slow_lamp, Q(100, "h"), 2 * rate) > 1.0
    with pytest.raises(ValidityError, match="growth"):
        time_to_clear(*slow_lamp, 0.99, Q([0.0, 2.0], "1/day"))


@given(VOLUMES, FLOWS, SHARES)
def test_nothing_is_cleared_at_once(volume, flow, inactivated):
    assert time_to_clear.bare(volume, flow, inactivated, 0.0) == 0.0
    assert survivors.bare(volume, flow, inactivated, 0.0) == 1.0


def test_ten_times_fewer_takes_as_long_each_time():
    times = [time_to_clear(Q(200, "L"), Q(600, "L/h"), 0.5, 1 - 10.0**-n).m for n in (1, 2, 3)]
    assert np.diff(times) == pytest.approx([times[0]] * 2, rel=1e-9)


@pytest.mark.parametrize("source", [0.0, 1e5])
def test_against_integration_with_a_source(source):
    """dN/dt = G - k N, from a thousand, to its steady count."""
    k = kill_rate(Q(600, "L/h"), 0.4, Q(200, "L")).m_as("1/hour")
    run = solve_ivp(lambda _, n: source - k * n, (0, 30), [1000.0], rtol=1e-10, atol=1e-9)
    if source:
        end = steady_count(Q(source, "1/h"), Q(600, "L/h"), 0.4, Q(200, "L"))
        assert run.y[0, -1] == pytest.approx(end, rel=1e-6)
    else:
        half = solve_ivp(lambda _, n: -k * n, (0, 1.5), [1.0], rtol=1e-10, atol=1e-12)
        left = survivors(Q(200, "L"), Q(600, "L/h"), 0.4, Q(1.5, "h"))
        assert half.y[0, -1] == pytest.approx(left, rel=1e-7)


def test_a_turnover_is_not_the_whole_tank():
    """If every pass kills, what is left is what has not passed."""
    left = survivors(Q(200, "L"), Q(600, "L/h"), 1.0, Q(1, "h"))
    assert left == pytest.approx(1.0 - share_passed(3.0), rel=1e-12)
    assert share_passed(0.0) == 0.0
    assert share_passed(1000.0) == 1.0


def test_more_flow_clears_no_slower_although_the_dose_falls():
    """f = 1 - exp(-c / Q): Q f rises with Q, towards c."""
    flows = np.linspace(100.0, 5000.0, 50)
    share = 1.0 - np.exp(-800.0 / flows)
    rates = kill_rate(Q(flows, "L/h"), share, Q(200, "L")).m
    assert np.all(np.diff(rates) > 0.0)
    assert rates[-1] < 800.0 / 200.0 * 24.0


def test_no_flow_kills_nothing():
    assert kill_rate(Q(0, "L/h"), 1.0, Q(200, "L")).m == 0.0
    assert survivors(Q(200, "L"), Q(0, "L/h"), 1.0, Q(1000, "h")) == 1.0


def test_all_of_it_is_never_cleared():
    with pytest.raises(ValidityError, match="share"):
        time_to_clear(Q(200, "L"), Q(600, "L/h"), 0.5, 1.0)


def test_a_lamp_that_kills_nothing_has_no_time_and_no_steady_count():
    with pytest.raises(ValidityError, match="inactivated"):
        time_to_clear(Q(200, "L"), Q(600, "L/h"), 0.0, 0.5)
    with pytest.raises(ValidityError, match="inactivated"):
        steady_count(Q(1, "1/h"), Q(600, "L/h"), 0.0, Q(200, "L"))
    with pytest.raises(ValidityError, match="flow"):
        steady_count(Q(1, "1/h"), Q(0, "L/h"), 0.5, Q(200, "L"))


@pytest.mark.parametrize("organism", ORGANISMS)
def test_one_lamp_kills_what_its_dose_inactivates(organism):
    lamp = (Q(9, "W"), Q(600, "L/h"))
    rates = lamp_kill_rate(*lamp, Q(200, "L"), *SIZE, 0.9, organism, Q(3000, "h"), 0.8)
    doses = delivered_fluence(*lamp, *SIZE, 0.9, Q(3000, "h"), 0.8)
    for rate, dose in zip(rates, doses, strict=True):
        share = inactivated_share(tabled_inactivation(organism, dose, at_least=True))
        assert rate.m == pytest.approx(72 * share)


def test_the_row_of_the_start_up_is_what_the_lamp_of_the_lessons_kills():
    names = ("lamp_power", "lamp_flow", "tank_volume")
    power, flow, volume = (parameter(name).quantity for name in names)
    clarity, hours = parameter("water_transmittance"), parameter("lamp_hours")
    rates = lamp_kill_rate(power, flow, volume, *SIZE, clarity.bare, lamp_hours=hours.quantity)
    row = parameter("ultraviolet_kill_rate")
    ends = [end.m_as(row.unit) for end in rates]
    assert [row.low, row.value, row.high] == pytest.approx(ends, rel=5e-3)
