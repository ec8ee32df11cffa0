"""Density, viscosity, salinity from a hydrometer, chloride."""

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.properties import (
    chloride,
    density,
    dynamic_viscosity,
    salinity_from_specific_gravity,
    specific_gravity,
)

CELSIUS = np.linspace(0.0, 40.0, 41)[:, None]
SALINITY = np.linspace(0.0, 42.0, 43)[None, :]
KELVIN = CELSIUS + 273.15
ABSOLUTE = SALINITY * 35.16504 / 35.0

temperatures = st.floats(0.0, 40.0)
salinities = st.floats(0.0, 42.0)
steps = st.floats(0.1, 5.0)


def grid(function):
    return function.bare(KELVIN + 0.0 * SALINITY, SALINITY + 0.0 * CELSIUS)


# Against TEOS-10 as the gsw library has it


def test_density_follows_teos10_within_the_accuracy_stated():
    other = gsw.rho_t_exact(ABSOLUTE, CELSIUS, 0.0)
    assert np.abs(grid(density) - other).max() < 0.01


def test_specific_gravity_follows_teos10():
    other = gsw.rho_t_exact(ABSOLUTE, CELSIUS, 0.0) / gsw.rho_t_exact(0.0, CELSIUS, 0.0)
    ours = specific_gravity.bare(SALINITY + 0.0 * CELSIUS, KELVIN + 0.0 * SALINITY)
    assert np.abs(ours - other).max() < 2e-5


# Properties


@given(st.floats(5.0, 35.0), salinities, steps)
def test_density_falls_with_warmth_above_5_degrees(celsius, salinity, step):
    warm, cool = celsius + step + 273.15, celsius + 273.15
    assert density.bare(warm, salinity) < density.bare(cool, salinity)


@given(temperatures, st.floats(0.0, 37.0), steps)
def test_density_rises_with_salt(celsius, salinity, step):
    kelvin = celsius + 273.15
    assert density.bare(kelvin, salinity + step) > density.bare(kelvin, salinity)


def test_fresh_water_is_densest_near_4_degrees():
    celsius = np.linspace(0.0, 10.0, 1001)
    assert celsius[np.argmax(density.bare(celsius + 273.15))] == pytest.approx(3.98, abs=0.02)


@given(st.floats(0.0, 95.0), salinities, steps)
def test_viscosity_falls_with_warmth(celsius, salinity, step):
    warm, cool = celsius + step + 273.15, celsius + 273.15
    assert dynamic_viscosity.bare(warm, salinity) < dynamic_viscosity.bare(cool, salinity)


@given(st.floats(0.0, 95.0), st.floats(0.0, 37.0), steps)
def test_viscosity_rises_with_salt(celsius, salinity, step):
    kelvin = celsius + 273.15
    assert dynamic_viscosity.bare(kelvin, salinity + step) > dynamic_viscosity.bare(
        kelvin, salinity
    )


@given(salinities, temperatures, st.none() | temperatures)
def test_a_hydrometer_reading_goes_there_and_back(salinity, celsius, reference):
    kelvin = celsius + 273.15
    made_for = None if reference is None else reference + 273.15
    reading = specific_gravity.bare(salinity, kelvin, made_for)
    back = salinity_from_specific_gravity.bare(reading, kelvin, made_for)
    assert back == pytest.approx(salinity, abs=1e-9)


def test_a_hydrometer_reading_goes_there_and_back_in_public_and_in_arrays():
    salinity = np.array([0.0, 1e-6, 0.5, 10.0, 35.0, 42.0])
    celsius = Q(np.linspace(0.0, 40.0, 6), "degC")
    reference = Q(60.0, "degF")
    reading = specific_gravity(salinity, celsius, reference)
    back = salinity_from_specific_gravity(reading, celsius, reference)
    assert np.abs(back - salinity).max() < 1e-9


def test_fresh_water_reads_exactly_one_and_zero_salt():
    assert specific_gravity(0, Q(25, "degC")) == 1.0
    assert salinity_from_specific_gravity(1.0, Q(25, "degC")) == 0.0


def test_scalars_stay_scalars_and_arrays_stay_arrays():
    assert isinstance(salinity_from_specific_gravity(1.025, Q(25, "degC")), float)
    assert np.shape(density(Q([10, 20], "degC"), 35).magnitude) == (2,)
    assert np.shape(density(Q(25, "degC"), [[0, 10], [20, 30]]).magnitude) == (2, 2)


def test_units_of_the_results_and_other_units_in():
    assert density(Q(77, "degF")).m_as("kg/m**3") == pytest.approx(997.0464, abs=1e-3)
    assert density(Q(25, "degC")).units == Q(1, "kg/m**3").units
    assert dynamic_viscosity(Q(20, "degC")).m_as("Pa*s") == pytest.approx(1.0017e-3, rel=1e-3)


def test_chloride_is_in_proportion_to_salt_per_kilogram():
    half, whole = chloride(17.5).m_as("mg/L"), chloride(35).m_as("mg/L")
    weight = density(Q(25, "degC"), 35) / density(Q(25, "degC"), 17.5)
    assert whole / half == pytest.approx(2.0 * weight.m_as(""), rel=1e-12)
    assert chloride(0).magnitude == 0.0


def test_chloride_takes_25_degrees_when_none_is_given():
    assert chloride(35) == chloride(35, Q(25, "degC"))
    assert chloride.bare(35.0) == chloride.bare(35.0, 298.15)


def test_a_rounding_error_below_zero_salt_still_computes():
    assert density(Q(25, "degC"), -1e-9).magnitude == pytest.approx(997.0464, abs=1e-3)


# What is refused


@pytest.mark.parametrize("reading", [0.9999, 1.0335])
def test_a_reading_outside_the_salinities_names_the_readings_that_would_do(reading):
    with pytest.raises(ValidityError, match=r"1\.0000 to 1\.0317 at these temperatures") as caught:
        salinity_from_specific_gravity(reading, Q(25, "degC"))
    assert caught.value.parameter == "specific_gravity"
    assert f"{reading}" in str(caught.value)


def test_one_bad_reading_in_an_array_is_found():
    with pytest.raises(ValidityError, match=r"specific_gravity = 0\.998"):
        salinity_from_specific_gravity([1.02, 0.998, 1.025], Q([20, 25, 30], "degC"))
