"""The nitrite called safe: it never falls as chloride rises, and it joins what was measured."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.nitrite_limits import safe_nitrite
from aqualib.water.nitrogen import nitrite_as_nitrogen
from aqualib.water.properties import chloride

CHLORIDES = st.floats(0.0, 30.0)
SALINITIES = st.floats(0.0, 42.0)


@given(SALINITIES, CHLORIDES, CHLORIDES)
def test_more_chloride_is_never_less_safe(salinity, one, other):
    low, high = safe_nitrite.bare(salinity, np.sort([one, other]))
    assert low <= high


@given(SALINITIES, SALINITIES)
def test_salt_is_chloride(one, other):
    low, high = safe_nitrite.bare(np.sort([one, other]))
    assert low <= high
    as_chloride = safe_nitrite.bare(0.0, chloride.bare(max(one, 1.0)))
    assert safe_nitrite.bare(max(one, 1.0)) == pytest.approx(as_chloride)


def test_the_rows_are_what_the_function_gives():
    fresh, sea = parameter("safe_nitrite"), parameter("safe_nitrite_sea")
    assert safe_nitrite().m == pytest.approx(fresh.value)
    assert safe_nitrite(chloride=Q(0, "mg/L")).m == pytest.approx(fresh.low)
    assert safe_nitrite(chloride=Q(10.001, "mg/L")).m == pytest.approx(fresh.high, rel=1e-6)
    assert safe_nitrite(parameter("sea_salinity").value).m == pytest.approx(sea.value)
    assert safe_nitrite(42).m == pytest.approx(sea.value)


def test_what_trout_and_cod_showed_stands_beside_it():
    """The level for fresh water lies above what slowed trout; that of the sea below cod's."""
    trout = nitrite_as_nitrogen(Q(0.2, "mg/L"))
    assert trout.m == pytest.approx(0.06, abs=0.005)
    assert safe_nitrite(chloride=Q(10, "mg/L")) > trout
    assert safe_nitrite(33).m < 0.5 * parameter("safe_nitrite_sea").high


def test_the_larger_of_tap_water_and_salt_counts():
    assert safe_nitrite(0.002, Q(3, "mg/L")) == safe_nitrite(0.0, Q(3, "mg/L"))
    assert safe_nitrite(35, Q(3, "mg/L")) == safe_nitrite(35)


@pytest.mark.parametrize(
    ("given_values", "name"),
    [({"salinity": -1}, "salinity"), ({"chloride": Q(-1, "mg/L")}, "chloride")],
)
def test_bad_input_is_refused_by_name(given_values, name):
    with pytest.raises(ValidityError, match=name):
        safe_nitrite(**given_values)
