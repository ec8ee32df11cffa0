"""Particle sizes: shares add up, and agree with adding up the law itself."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from aqualib.filtration.capture.particle_sizes import mass_share, number_share, size_classes
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

ENDS = {"smallest": 1.0, "largest": 500.0}


@pytest.mark.parametrize("exponent", [2.6, 3.4, 4.0, 4.5, 1.5])
def test_against_quadrature(exponent):
    def moment(power, lower, upper):
        # On a logarithmic scale, where the law is smooth.
        return quad(lambda x: np.exp(x * (power + 1 - exponent)), np.log(lower), np.log(upper))[0]

    mass = mass_share.bare(20.0, 60.0, **ENDS, exponent=exponent)
    number = number_share.bare(20.0, 60.0, **ENDS, exponent=exponent)
    assert mass == pytest.approx(moment(3, 20, 60) / moment(3, 1, 500), rel=1e-8)
    assert number == pytest.approx(moment(0, 20, 60) / moment(0, 1, 500), rel=1e-8)


@given(st.floats(1.5, 6), st.floats(1, 500))
def test_two_parts_make_the_whole(exponent, middle):
    for share in (mass_share, number_share):
        below = share.bare(1.0, middle, **ENDS, exponent=exponent)
        above = share.bare(middle, 500.0, **ENDS, exponent=exponent)
        assert below + above == pytest.approx(1, rel=1e-9)


def test_smooth_through_four():
    near = [mass_share.bare(1.0, 20.0, **ENDS, exponent=b) for b in (4 - 1e-9, 4, 4 + 1e-9)]
    assert near[0] == pytest.approx(near[1], rel=1e-8)
    assert near[2] == pytest.approx(near[1], rel=1e-8)


def test_outside_the_ends_is_nothing():
    assert mass_share.bare(600.0, 900.0, **ENDS, exponent=3.0) == 0
    assert mass_share.bare(0.1, 900.0, **ENDS, exponent=3.0) == pytest.approx(1)


def test_classes():
    classes = size_classes(3.4, Q(1, "um"), Q(500, "um"), 30)
    assert classes.mass_shares.sum() == pytest.approx(1, rel=1e-12)
    ratios = classes.diameters[1:] / classes.diameters[:-1]
    np.testing.assert_allclose(ratios, 500 ** (1 / 30))
    assert 1e-6 < classes.diameters[0] < classes.diameters[-1] < 500e-6


def test_classes_from_the_rows():
    rows = [parameter(f"solids_{name}").quantity for name in ("exponent", "smallest", "largest")]
    np.testing.assert_array_equal(size_classes().mass_shares, size_classes(*rows).mass_shares)
    assert len(size_classes().diameters) == 30


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((20, 10, 1, 500), "lower"),
        ((10, 20, 500, 1), "smallest"),
        ((0, 20, 1, 500), "lower"),
    ],
)
def test_sizes_out_of_order(arguments, name):
    sizes = [Q(size, "um") for size in arguments]
    with pytest.raises(ValidityError, match=name):
        mass_share(*sizes, 3.4)


@pytest.mark.parametrize("count", [0, 2.5, True, None, "x", np.nan])
def test_bad_count(count):
    with pytest.raises(ValidityError, match="count"):
        size_classes(count=count)
