"""Oxygen or ammonia: the ratio, and the word for a given water."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm.diffusion import diffusivity
from aqualib.filtration.biofilm.effectiveness import penetration_depth
from aqualib.filtration.biofilm.limiting import limiting_ratio, what_limits
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.nitrogen import oxygen_demand

WARM = Q(25, "degC")


def test_ratio_brackets_the_published_one():
    low, high = limiting_ratio(WARM, 0, 3.43), limiting_ratio(WARM, 0, 4.57)
    assert low < 3.4 < high
    assert limiting_ratio(WARM) == pytest.approx(3.4 * 1.05, rel=0.01), "5 % above it"


def test_demand_left_out_is_the_one_with_growth():
    demand = oxygen_demand(Q(1, "g"), synthesis=True).m
    assert limiting_ratio(WARM) == pytest.approx(limiting_ratio(WARM, 0, demand))


@given(st.floats(0, 40), st.floats(0, 42))
def test_salt_does_not_matter_and_warmth_little(temperature, salinity):
    here = limiting_ratio(Q(temperature, "degC"), salinity)
    assert here == pytest.approx(limiting_ratio(Q(temperature, "degC")))
    assert 3.2 < here < 3.7


def test_at_the_ratio_both_reach_equally_deep():
    nitrogen, demand = Q(1, "mg/L"), 4.33
    oxygen = limiting_ratio(WARM, 0, demand) * nitrogen
    rate = Q(1000, "g/m**3/day")
    by_oxygen = penetration_depth(oxygen, demand * rate, diffusivity("oxygen", WARM))
    by_ammonia = penetration_depth(nitrogen, rate, diffusivity("ammonium", WARM))
    assert by_oxygen.m == pytest.approx(by_ammonia.m, rel=1e-12)


@pytest.mark.parametrize(
    ("oxygen", "ammonia", "word"),
    [(8, 0.2, "ammonia"), (6, 3, "oxygen"), (0, 1, "oxygen"), (5, 0, "ammonia")],
)
def test_word(oxygen, ammonia, word):
    assert what_limits(Q(oxygen, "mg/L"), Q(ammonia, "mg/L"), WARM) == word
    assert what_limits(Q(oxygen, "mg/L"), Q(ammonia, "mg/L"), WARM, 35) == word


def test_bad_input_is_refused():
    with pytest.raises(ValidityError, match="oxygen"):
        what_limits(8, Q(1, "mg/L"), WARM)
    with pytest.raises(ValidityError, match="total_ammonia_nitrogen"):
        what_limits(Q(8, "mg/L"), Q(-1, "mg/L"), WARM)


def test_what_limits_takes_one_tank_at_a_time():
    with pytest.raises(ValidityError, match="oxygen = an array is more than one number"):
        what_limits(Q([1, 8], "mg/L"), Q(1, "mg/L"), Q(25, "degC"))
    with pytest.raises(ValidityError, match="temperature = an array is more than one number"):
        what_limits(Q(1, "mg/L"), Q(1, "mg/L"), Q([20, 25], "degC"))
    with pytest.raises(ValidityError, match="salinity = an array is more than one number"):
        what_limits(Q(1, "mg/L"), Q(1, "mg/L"), Q(25, "degC"), [0, 35])
