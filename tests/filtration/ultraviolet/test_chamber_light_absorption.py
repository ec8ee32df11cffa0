"""How water swallows light: two names of one thing, and their limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.ultraviolet.chamber import absorption_coefficient

SHARES = st.floats(0.001, 1.0)


@given(SHARES)
def test_it_gives_the_transmittance_back(share):
    assert np.exp(-0.01 * absorption_coefficient(share).m_as("1/m")) == pytest.approx(share)


@given(SHARES, SHARES)
def test_two_waters_in_a_row_add_up(one, other):
    if one * other < 0.001:
        return
    both = absorption_coefficient(one * other).m
    apart = absorption_coefficient(one).m + absorption_coefficient(other).m
    assert both == pytest.approx(apart, rel=1e-9, abs=1e-9)


def test_pure_water_swallows_a_plain_nothing():
    assert str(absorption_coefficient(1.0).m) == "0.0"


def test_percent_may_be_given_as_such():
    from aqualib.units import Q

    assert absorption_coefficient(Q(90, "percent")) == absorption_coefficient(0.9)
