"""Adsorption: limits and round trips of the isotherms, batches against a library's root finder."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from aqualib.filtration.carbon.adsorption import (
    batch_equilibrium,
    carbon_for_dose,
    freundlich_loading,
    langmuir_loading,
)
from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError

CAPACITIES = st.floats(1e-3, 100.0)
EXPONENTS = st.floats(0.05, 2.0)
# kg/m³
CONCENTRATIONS = st.floats(1e-7, 1.0)


@given(concentration=CONCENTRATIONS, capacity=CAPACITIES, exponent=EXPONENTS)
def test_isotherm_and_back(concentration, capacity, exponent):
    loading = freundlich_loading.bare(concentration, capacity, exponent)
    # From mg/L and mg/g to kg/m³ and kg/kg, and back.
    back = (1000.0 * loading / capacity) ** (1.0 / exponent) / 1000.0
    assert back == pytest.approx(concentration, rel=1e-9)


@given(capacity=CAPACITIES, exponent=EXPONENTS)
def test_dirtier_water_fills_carbon_further(capacity, exponent):
    loading = freundlich_loading.bare(np.geomspace(1e-7, 1.0, 40), capacity, exponent)
    assert np.all(np.diff(loading) > 0.0)


def test_bare_twin_is_in_kilograms_per_kilogram():
    assert freundlich_loading.bare(4e-3, 2.0, 0.5) == pytest.approx(4e-3)
    assert langmuir_loading.bare(20e-3, 0.3, 50.0) == pytest.approx(0.15)


def test_langmuir_has_a_straight_beginning_and_an_end():
    most, affinity = Q(425, "mg/g"), Q(0.053, "L/mg")
    first = langmuir_loading(Q(1e-6, "mg/L"), most, affinity).m / 1e-6
    assert first == pytest.approx(425 * 0.053, rel=1e-6)
    assert langmuir_loading(Q(1e4, "mg/L"), most, affinity).m == pytest.approx(425, rel=2e-3)


@pytest.mark.parametrize("exponent", [0.05, 0.2, 0.5, 0.8, 1.0, 1.6, 2.0])
def test_batches_against_a_root_finder(exponent):
    volume, initial = 0.2, 5e-3
    mass = np.geomspace(1e-6, 50.0, 25)[:, None]
    capacity = np.geomspace(0.01, 60.0, 9)
    ours = batch_equilibrium.bare(volume, mass, initial, capacity, exponent)
    for (row, column), left in np.ndenumerate(ours):

        def spare(at, m=mass[row, 0], k=capacity[column]):
            return volume * (initial - at) - m * freundlich_loading.bare(at, k, exponent)

        library = brentq(spare, 0.0, initial, xtol=1e-300, rtol=1e-13)
        assert left == pytest.approx(library, rel=1e-9), (row, column)


@given(
    volume=st.floats(1e-3, 1e3),
    mass=st.floats(0.0, 1e3),
    initial=CONCENTRATIONS,
    capacity=CAPACITIES,
    exponent=EXPONENTS,
)
def test_nothing_is_lost_in_a_batch(volume, mass, initial, capacity, exponent):
    left = batch_equilibrium.bare(volume, mass, initial, capacity, exponent)
    held = mass * freundlich_loading.bare(left, capacity, exponent)
    assert 0.0 <= left <= initial * (1 + 1e-12)
    assert volume * left + held == pytest.approx(volume * initial, rel=1e-12)


def test_more_carbon_leaves_less():
    left = batch_equilibrium(Q(200, "L"), Q(np.geomspace(1, 1e5, 40), "g"), Q(3, "mg/L"), 2.0, 0.5)
    assert np.all(np.diff(left.m) < 0.0)


def test_carbon_in_clean_water_takes_nothing():
    left = batch_equilibrium(Q(200, "L"), Q(100, "g"), Q([0.0, 3.0], "mg/L"), 2.0, 0.5)
    assert left.m[0] == 0.0
    assert 0.0 < left.m[1] < 3.0


@given(mass=st.floats(1e-3, 10.0), initial=st.floats(1e-4, 0.1), exponent=st.floats(0.1, 1.0))
def test_carbon_for_a_dose_is_the_batch_turned_round(mass, initial, exponent):
    left = batch_equilibrium.bare(0.2, mass, initial, 5.0, exponent)
    again = carbon_for_dose.bare(0.2, initial, left, 5.0, exponent)
    # What was taken is a small difference where little carbon meets much water.
    assert again == pytest.approx(mass, rel=1e-6)


def test_a_dose_that_does_not_fall_is_refused():
    with pytest.raises(ValidityError, match="less than initial"):
        carbon_for_dose(Q(200, "L"), Q(2, "mg/L"), Q(2, "mg/L"), 8.0, 0.3)


@pytest.mark.parametrize("function", [freundlich_loading])
def test_more_than_its_own_mass_is_refused(function):
    with pytest.raises(ValidityError, match="own mass"):
        function(Q(10000, "mg/L"), 500.0, 1.0)
    with pytest.raises(ValidityError, match="own mass"):
        batch_equilibrium(Q(100, "L"), Q(0.001, "g"), Q(5000, "mg/L"), 100.0, 0.5)
    with pytest.raises(ValidityError, match="own mass"):
        carbon_for_dose(Q(100, "L"), Q(9000, "mg/L"), Q(8000, "mg/L"), 100.0, 0.5)


def test_organics_capacity_gives_loadings_that_were_measured():
    """1 g of dissolved organic carbon on 84.4 to 837 g (Spotte & Adams 1984)."""
    capacity, exponent = parameter("organics_capacity"), parameter("organics_exponent")
    loading = freundlich_loading(Q(3, "mg/L"), capacity.value, exponent.value).m
    assert 1000 / 837 < loading < 1000 / 84.4
    for end, published in ((capacity.low, 1000 / 837), (capacity.high, 1000 / 84.4)):
        assert freundlich_loading(Q(3, "mg/L"), end, exponent.value).m == pytest.approx(
            published, rel=0.5
        )
