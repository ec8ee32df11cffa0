"""Nitrogen as nitrogen and as the whole ion: exact round trips, in whatever unit is given."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water import nitrogen

IONS = ("nitrate", "nitrite", "ammonium", "ammonia")
UNITS = ("mg/L", "g", "g/day", "g/m**2/day", "g/m**3/day", "lb/day", "ug/L", "oz")
amounts = st.floats(0, 1e6)


def there(ion):
    return getattr(nitrogen, f"as_{ion}")


def back(ion):
    return getattr(nitrogen, f"{ion}_as_nitrogen")


@pytest.mark.parametrize("ion", IONS)
@given(amount=amounts, unit=st.sampled_from(UNITS))
def test_there_and_back_is_the_same_amount(ion, amount, unit):
    result = back(ion)(there(ion)(Q(amount, unit)))
    assert result.units == Q(1, unit).units
    assert result.magnitude == pytest.approx(amount, rel=1e-14)


@pytest.mark.parametrize("ion", IONS)
@given(one=amounts, other=amounts)
def test_more_nitrogen_is_more_of_the_ion(ion, one, other):
    # Two numbers that differ in their last bit may give the same product.
    assume(abs(one - other) > 1e-12 * max(one, other))
    convert = there(ion).bare
    assert (convert(one) < convert(other)) == (one < other)
    assert convert(one + other) == pytest.approx(convert(one) + convert(other), rel=1e-12)


@pytest.mark.parametrize("ion", IONS)
def test_array_equals_one_by_one(ion):
    values = np.array([0.0, 1.0, 2.5])
    together = there(ion)(Q(values, "mg/L")).m_as("mg/L")
    assert together.tolist() == [there(ion)(Q(v, "mg/L")).m_as("mg/L") for v in values]
    assert isinstance(there(ion)(Q(1, "mg/L")).magnitude, float)


def test_heavier_ions_have_larger_factors():
    factors = [there(ion).bare(1.0) for ion in ("ammonia", "ammonium", "nitrite", "nitrate")]
    assert factors == sorted(factors)
    assert factors[0] > 1


def test_the_answer_keeps_the_unit_given():
    assert str(nitrogen.as_nitrate(Q(1, "kg/day")).units) == "kilogram / day"
    assert nitrogen.as_nitrate is nitrogen.as_nitrate


@pytest.mark.parametrize(
    ("bad", "why"),
    [
        (5, "has no unit"),
        (None, "has no unit"),
        (True, "has no unit"),
        ("5 mg/L", "has no unit"),
        (Q(5, "m"), "wrong dimension"),
        (Q(5, "mmol/L"), "wrong dimension"),
        (Q(5, ""), "wrong dimension"),
        (Q(-1, "g"), "out of range"),
        (Q(float("nan"), "g"), "not a finite number"),
        (Q(float("inf"), "mg/L"), "not a finite number"),
        (Q(np.array([]), "g"), "is empty"),
        (Q(np.array([1.0, -2.0]), "g"), "out of range"),
        (Q(np.array([True]), "g"), "not a number"),
    ],
)
def test_bad_input_names_the_parameter_and_the_reason(bad, why):
    with pytest.raises(ValidityError, match=why) as caught:
        nitrogen.nitrate_as_nitrogen(bad)
    assert caught.value.parameter.startswith("nitrate")
