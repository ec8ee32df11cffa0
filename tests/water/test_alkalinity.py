"""Units of alkalinity, and the dose that raises it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water import alkalinity as a


@given(value=st.floats(0, 999))
def test_milliequivalents_there_and_back(value):
    there = a.alkalinity_as_milliequivalents(Q(value, "mg/L"))
    assert a.milliequivalents_as_alkalinity(there).m_as("mg/L") == pytest.approx(value, rel=1e-12)


@given(degrees=st.floats(0, 50))
def test_degrees_and_milligrams_are_the_same_alkalinity(degrees):
    one = a.alkalinity_as_milliequivalents(Q(degrees, "dKH")).m_as("mmol/L")
    other = a.alkalinity_as_milliequivalents(Q(17.848 * degrees, "mg/L")).m_as("mmol/L")
    assert one == pytest.approx(other, rel=1e-12)


@given(litres=st.floats(1, 10000), rise=st.floats(0, 200))
def test_dose_raises_exactly_the_alkalinity_asked(litres, rise):
    grams = a.bicarbonate_dose(Q(litres, "L"), Q(rise, "mg/L")).m_as("g")
    # One mole of NaHCO3 (84.006 g) takes up one mole of acid.
    raised = Q(1e3 * grams / 84.006 / litres, "mmol/L")
    assert a.milliequivalents_as_alkalinity(raised).m_as("mg/L") == pytest.approx(rise, rel=1e-9)


def test_dose_grows_with_water_and_rise():
    doses = a.bicarbonate_dose(Q([[50.0], [100.0]], "L"), Q([0.0, 10.0, 20.0], "mg/L")).m_as("g")
    assert doses.shape == (2, 3)
    assert np.all(np.diff(doses, axis=1) > 0)
    assert doses[1] == pytest.approx(2 * doses[0])
    assert doses[0, 0] == 0


def test_us_units_give_the_same_dose():
    metric = a.bicarbonate_dose(Q(3.785411784, "L"), Q(2, "dKH"))
    assert a.bicarbonate_dose(Q(1, "gal"), Q(2, "dKH")).magnitude == pytest.approx(metric.magnitude)


@pytest.mark.parametrize(
    ("function", "name", "good", "high"),
    [
        (a.alkalinity_as_milliequivalents, "alkalinity", {}, Q(1001, "mg/L")),
        (a.milliequivalents_as_alkalinity, "milliequivalents", {}, Q(21, "mmol/L")),
        (a.bicarbonate_dose, "volume", {"alkalinity_rise": Q(1, "mg/L")}, Q(1e6, "L")),
        (a.bicarbonate_dose, "alkalinity_rise", {"volume": Q(1, "L")}, Q(201, "mg/L")),
    ],
)
def test_bad_input_is_named(function, name, good, high):
    unit = f"{high.units}"
    bad = (high, 5, None, True, "5", Q(-1, unit), Q(np.nan, unit), Q(np.inf, unit), Q(1, "second"))
    for value in (*bad, Q(np.array([]), unit)):
        with pytest.raises(ValidityError) as caught:
            function(**good, **{name: value})
        assert caught.value.parameter == name
