"""Eye and skin: the limit, the point and the tube, and how they go together."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from aqualib.filtration.ultraviolet.exposure import (
    day_limit,
    exposure_time,
    exposure_time_beside_tube,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

POWERS = st.floats(0.01, 1000.0)
DISTANCES = st.floats(0.05, 100.0)
LENGTHS = st.floats(0.01, 2.0)


def test_limit_at_254_nm_is_six_millijoule():
    assert Q(day_limit(), "J/m**2").m_as("mJ/cm**2") == pytest.approx(6.0)


@given(POWERS, DISTANCES)
def test_a_point_obeys_the_inverse_square(power, distance):
    near = exposure_time.bare(power, distance)
    assert exposure_time.bare(power, 2.0 * distance) == pytest.approx(4.0 * near)
    assert exposure_time.bare(2.0 * power, distance) == pytest.approx(near / 2.0)


@given(POWERS, DISTANCES, LENGTHS)
def test_tube_against_the_sum_over_its_pieces(power, distance, length):
    """Each piece shines as the cosine, sideways strongest, on a surface that faces the tube."""

    def piece(z):
        square = distance**2 + z**2
        cosine = distance / np.sqrt(square)
        # A line that shines as a cosine gives P / (pi² L) per length straight out.
        return power / (np.pi**2 * length) * cosine * cosine / square

    rate, _ = quad(piece, -length / 2.0, length / 2.0, epsabs=0.0, epsrel=1e-11)
    time = exposure_time_beside_tube.bare(power, distance, length)
    assert time == pytest.approx(day_limit() / rate, rel=1e-7)


@given(POWERS, LENGTHS)
def test_far_away_a_tube_is_stronger_than_a_point_by_four_over_pi(power, length):
    far = 1000.0 * length
    ratio = exposure_time.bare(power, far) / exposure_time_beside_tube.bare(power, far, length)
    assert ratio == pytest.approx(4.0 / np.pi, rel=1e-5)


@given(POWERS, LENGTHS)
def test_close_up_a_tube_is_a_cylinder(power, length):
    close = 1e-4 * length
    rate = day_limit() / exposure_time_beside_tube.bare(power, close, length)
    assert rate == pytest.approx(power / (2.0 * np.pi * close * length), rel=1e-3)


@given(POWERS, st.floats(1.0, 20.0), LENGTHS)
def test_the_tube_is_the_shorter_time_beyond_its_own_length(power, lengths_away, length):
    distance = lengths_away * length
    tube = exposure_time_beside_tube.bare(power, distance, length)
    point = exposure_time.bare(power, distance)
    assert 0.78 * point < tube < point


@pytest.mark.parametrize("distance", [0, 0.01])
def test_too_near_is_refused(distance):
    for function in (exposure_time, exposure_time_beside_tube):
        rest = (Q(0.2, "m"),) if function is exposure_time_beside_tube else ()
        with pytest.raises(ValidityError, match="distance"):
            function(Q(1, "W"), Q(distance, "m"), *rest)
