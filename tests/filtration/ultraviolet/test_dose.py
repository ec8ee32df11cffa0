"""The dose in one pass: proportions, limits, the range of what is delivered."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from aqualib.filtration.ultraviolet import (
    absorption_coefficient,
    lit_volume,
    mean_fluence_rate,
    time_in_light,
)
from aqualib.filtration.ultraviolet.dose import annular_fluence, delivered_fluence
from aqualib.filtration.ultraviolet.lamp import output_share
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

POWERS = st.floats(0.1, 1000.0)
FLOWS = st.floats(1e-6, 0.1)
INNER = st.floats(0.002, 0.1)
GAPS = st.floats(0.001, 0.2)
SHARES = st.floats(0.01, 1.0)
SIZE = (Q(12.5, "mm"), Q(30, "mm"))


@given(POWERS, FLOWS, INNER, GAPS, SHARES)
def test_dose_is_in_proportion_to_power_and_to_time(power, flow, inner, gap, share):
    dose = annular_fluence.bare(power, flow, inner, inner + gap, share)
    assert annular_fluence.bare(power, flow / 2.0, inner, inner + gap, share) == pytest.approx(
        2.0 * dose, rel=1e-12
    )
    assert annular_fluence.bare(3.0 * power, flow, inner, inner + gap, share) == pytest.approx(
        3.0 * dose, rel=1e-12
    )


@given(POWERS, FLOWS, INNER, GAPS, SHARES, st.floats(0.01, 3.0))
def test_dose_does_not_depend_on_the_length(power, flow, inner, gap, share, length):
    rate = mean_fluence_rate.bare(power, inner, inner + gap, length, share)
    time = time_in_light.bare(lit_volume.bare(inner, inner + gap, length), flow)
    dose = annular_fluence.bare(power, flow, inner, inner + gap, share)
    assert rate * time == pytest.approx(dose, rel=1e-12)


@given(SHARES, GAPS)
def test_dose_against_quadrature(share, gap):
    a = -100.0 * np.log(share)
    path, _ = quad(lambda x: np.exp(-a * x), 0.0, gap, epsabs=0.0, epsrel=1e-11)
    assert annular_fluence.bare(2.7, 1e-4, 0.01, 0.01 + gap, share) == pytest.approx(
        2.7 * path / 1e-4, rel=1e-9
    )


@given(SHARES, SHARES, GAPS)
def test_clearer_water_and_a_wider_gap_give_more(one, other, gap):
    low, high = sorted((one, other))
    doses = [annular_fluence.bare(1.0, 1e-4, 0.01, 0.01 + gap, t) for t in (low, high)]
    assert doses[0] <= doses[1] * (1 + 1e-12)
    wider = annular_fluence.bare(1.0, 1e-4, 0.01, 0.01 + 1.5 * gap, low)
    assert wider >= doses[0] * (1 - 1e-12)


def test_a_gap_cannot_give_more_than_black_water_and_clear_water_allow():
    """Between two limits: all light swallowed (P / (a Q)), none swallowed (P d / Q)."""
    for share in (0.01, 0.5, 0.9, 0.999):
        a = absorption_coefficient.bare(share)
        dose = annular_fluence.bare(1.0, 1e-4, 0.01, 0.03, share)
        assert dose < min(1.0 / a, 0.02) / 1e-4


@given(st.floats(0.0, 1e8), st.floats(0.0, 1.0))
def test_delivered_range_has_its_ends_in_order(seconds, fouling):
    low, best, high = delivered_fluence.bare(9.0, 1e-4, 0.0125, 0.03, 0.9, seconds, fouling)
    assert 0.0 <= low <= best <= high


def test_delivered_is_the_product_of_the_rows():
    dose = delivered_fluence(Q(9, "W"), Q(600, "L/h"), *SIZE, 0.9, Q(5000, "h"), 0.75)
    power = 9 * parameter("lamp_efficiency").value * output_share(Q(5000, "h")) * 0.75
    whole = annular_fluence(Q(power, "W"), Q(600, "L/h"), *SIZE, 0.9)
    assert dose.best.m == pytest.approx(parameter("chamber_mixing").value * whole.m, rel=1e-12)
    assert dose.high.m / dose.low.m > 2.0


def test_an_unknown_sleeve_widens_the_range():
    known = delivered_fluence(Q(9, "W"), Q(600, "L/h"), *SIZE, 0.9, fouling=0.8)
    unknown = delivered_fluence(Q(9, "W"), Q(600, "L/h"), *SIZE, 0.9)
    assert unknown.low < known.low
    assert unknown.high > known.high
    assert unknown.best == known.best


def test_delivered_takes_arrays():
    hours = Q(np.array([0.0, 3000.0, 9000.0]), "h")
    dose = delivered_fluence(Q(9, "W"), Q(600, "L/h"), *SIZE, 0.9, hours, 0.8)
    assert dose.low.m.shape == (3,)
    assert np.all(np.diff(dose.best.m) < 0.0)


def test_no_flow_has_no_dose():
    with pytest.raises(ValidityError, match="flow"):
        annular_fluence(Q(2.7, "W"), Q(0, "L/h"), *SIZE, 0.9)


def test_radii_the_wrong_way_round_are_refused():
    for function, power in ((annular_fluence, Q(2.7, "W")), (delivered_fluence, Q(9, "W"))):
        with pytest.raises(ValidityError, match="outer_radius"):
            function(power, Q(600, "L/h"), *SIZE[::-1], 0.9)
