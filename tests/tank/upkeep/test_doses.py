"""Doses: what is put in is found again in the water."""

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.upkeep import doses as d
from aqualib.tank.upkeep.top_up import salt_to_raise
from aqualib.units import Q
from aqualib.validity import ValidityError

litres = st.floats(1, 5000)
rises = st.floats(0, 20)


@given(v=litres, rise=rises)
def test_nitrogen_is_found_again(v, rise):
    grams = d.ammonium_chloride_dose(Q(v, "L"), Q(rise, "mg/L")).m_as("g")
    assert 1e3 * grams / 53.489 * 14.007 / v == pytest.approx(rise, rel=1e-9, abs=1e-12)
    drops = d.ammonia_solution_dose(Q(v, "L"), Q(rise, "mg/L"), 0.1, Q(0.96, "kg/L")).m_as("mL")
    assert 1e3 * drops * 0.096 / 17.031 * 14.007 / v == pytest.approx(rise, rel=1e-9, abs=1e-12)


@given(s=st.floats(0.1, 42), water=st.floats(0, 0.5), celsius=st.floats(5, 35))
def test_salt_mix_holds_the_salt(s, water, celsius):
    kilograms = d.salt_for_change(Q(100, "L"), s, water, Q(celsius, "degC")).m_as("kg")
    salt = kilograms * (1 - water)
    whole = 0.1 * gsw.rho_t_exact(s * 35.16504 / 35, celsius, 0)
    assert 1000 * salt / whole == pytest.approx(s * 35.16504 / 35, rel=3e-5)


def test_the_same_as_salting_fresh_water():
    """100 L of salt water hold so much fresh water, to which so much salt was added."""
    salt = d.salt_for_change(Q(100, "L"), 35, 0).m_as("kg")
    fresh = (0.1 * gsw.rho_t_exact(35.16504, 25, 0) - salt) / gsw.rho_t_exact(0, 25, 0)
    assert salt_to_raise(Q(fresh, "m**3"), 0, 35).m_as("kg") == pytest.approx(salt, rel=3e-5)


def test_rows_stand_in_for_what_is_left_out():
    plain = d.salt_for_change(Q(10, "L"), 35, 0.05)
    assert d.salt_for_change(Q(10, "L"), 35).magnitude == pytest.approx(plain.magnitude)
    given_ = d.ammonia_solution_dose(Q(10, "L"), Q(1, "mg/L"), 0.1, Q(0.957, "kg/L"))
    assert d.ammonia_solution_dose(Q(10, "L"), Q(1, "mg/L"), 0.1).magnitude == pytest.approx(
        given_.magnitude
    )


def test_arrays_and_zero():
    doses = d.ammonium_chloride_dose(Q([[50.0], [100.0]], "L"), Q([0.0, 1.0, 2.0], "mg/L"))
    assert doses.shape == (2, 3)
    assert np.all(doses.magnitude[:, 0] == 0)
    assert doses.magnitude[1] == pytest.approx(2 * doses.magnitude[0])
    assert d.salt_for_change(Q(10, "L"), 0).magnitude == 0


def test_too_much_is_refused():
    with pytest.raises(ValidityError, match="rise"):
        d.ammonium_chloride_dose(Q(100, "L"), Q(21, "mg/L"))
    with pytest.raises(ValidityError, match="strength"):
        d.ammonia_solution_dose(Q(100, "L"), Q(2, "mg/L"), 0)
    with pytest.raises(ValidityError, match="water_in_mix"):
        d.salt_for_change(Q(100, "L"), 35, 0.6)
