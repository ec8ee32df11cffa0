"""The lit chamber: closed forms against quadrature, limits, and bad shapes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from aqualib.filtration.ultraviolet.chamber import (
    absorption_coefficient,
    fluence_rate,
    light_path,
    lit_volume,
    mean_fluence_rate,
    time_in_light,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

INNER = st.floats(0.002, 0.1)
GAPS = st.floats(0.001, 0.2)
LENGTHS = st.floats(0.05, 2.0)
SHARES = st.floats(0.01, 1.0)
SIZE = {"inner_radius": Q(12.5, "mm"), "outer_radius": Q(30, "mm"), "lit_length": Q(200, "mm")}


@settings(deadline=None)
@given(INNER, GAPS, LENGTHS, SHARES)
def test_mean_is_the_integral_over_the_ring(inner, gap, length, share):
    outer = inner + gap

    def ring(r):
        return fluence_rate.bare(5.0, r, inner, length, share) * 2.0 * np.pi * r * length

    whole, _ = quad(ring, inner, outer, epsabs=0.0, epsrel=1e-11)
    mean = whole / lit_volume.bare(inner, outer, length)
    assert mean_fluence_rate.bare(5.0, inner, outer, length, share) == pytest.approx(mean, rel=1e-9)


@given(INNER, GAPS, LENGTHS, SHARES)
def test_light_that_is_missing_at_the_shell_was_swallowed(inner, gap, length, share):
    """The balance: what leaves the sleeve ends in the water or at the shell."""
    outer = inner + gap
    at_shell = fluence_rate.bare(5.0, outer, inner, length, share) * 2.0 * np.pi * outer * length
    swallowed = absorption_coefficient.bare(share) * mean_fluence_rate.bare(
        5.0, inner, outer, length, share
    )
    swallowed *= lit_volume.bare(inner, outer, length)
    assert at_shell + swallowed == pytest.approx(5.0, rel=1e-9)


def test_clear_water_is_the_limit_and_exact():
    assert light_path(0.0175, 1.0) == 0.0175
    # No jump on the way to it, where the difference of near equals could lose digits.
    for share in 1.0 - np.logspace(-15, -3, 25):
        fading = -100.0 * np.log(share) * 0.0175
        assert light_path(0.0175, share) == pytest.approx(0.0175 * (1 - fading / 2), rel=1e-6)


@given(INNER, GAPS, LENGTHS, SHARES)
def test_light_only_fades(inner, gap, length, share):
    radii = np.linspace(inner, inner + gap, 20)
    rates = fluence_rate.bare(5.0, radii, inner, length, share)
    assert np.all(np.diff(rates) < 0.0)
    mean = mean_fluence_rate.bare(5.0, inner, inner + gap, length, share)
    assert rates[-1] < mean < rates[0]


def test_dose_is_rate_times_time():
    volume = lit_volume(**SIZE)
    seconds = time_in_light(volume, Q(1000, "L/h"))
    rate = mean_fluence_rate(Q(2.7, "W"), **SIZE, transmittance=0.95)
    assert (rate * seconds).m_as("mJ/cm**2") == pytest.approx(16.2689, abs=5e-5)


@pytest.mark.parametrize("outer", [5, 12.5, 12.4999])
def test_a_shell_inside_the_sleeve_is_refused(outer):
    size = {**SIZE, "outer_radius": Q(outer, "mm")}
    with pytest.raises(ValidityError, match=r"outer_radius = .*mm lies inside the sleeve or on it"):
        lit_volume(**size)
    with pytest.raises(ValidityError, match="outer_radius"):
        mean_fluence_rate(Q(1, "W"), **size, transmittance=0.9)


def test_one_bad_shell_of_several_is_refused_with_its_own_number():
    with pytest.raises(ValidityError, match=r"outer_radius = 12 mm .* more than the sleeve's 12.5"):
        lit_volume(Q(12.5, "mm"), Q([30.0, 12.0, 40.0], "mm"), Q(200, "mm"))


def test_a_place_inside_the_sleeve_is_refused_and_on_it_is_not():
    rest = (Q(12.5, "mm"), Q(200, "mm"), 0.9)
    assert fluence_rate(Q(1, "W"), Q(12.5, "mm"), *rest).m > 0
    with pytest.raises(ValidityError, match="radius = 12 mm"):
        fluence_rate(Q(1, "W"), Q(12, "mm"), *rest)


def test_no_light_from_no_power():
    assert mean_fluence_rate(Q(0, "W"), **SIZE, transmittance=0.9).m == 0.0


def test_shapes_go_together():
    table = mean_fluence_rate(
        Q(np.array([[1.0], [2.0]]), "W"), **SIZE, transmittance=np.array([0.7, 0.9, 1.0])
    )
    assert table.m.shape == (2, 3)
    assert table.m[1] == pytest.approx(2.0 * table.m[0])
