"""Salinity from a conductivity meter: the practical salinity scale."""

import gsw
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.units import ZERO_CELSIUS, Q
from aqualib.validity import ValidityError
from aqualib.water.properties import STANDARD_CONDUCTIVITY, salinity_from_conductivity

ROOM = Q(25, "degC")

temperatures = st.floats(0.0, 35.0)
on_the_scale = st.floats(2.1, 41.9)


def reading(salinity, celsius):
    """What a meter shows, in S/m, as the gsw library has it."""
    return gsw.C_from_SP(salinity, celsius, 0.0) / 10.0


def test_it_is_the_practical_salinity_scale_on_the_way_to_salinity():
    celsius = np.linspace(0.0, 35.0, 36)[:, None]
    conductivity = np.linspace(1.0, 80.0, 159)[None, :]
    other = gsw.SP_from_C(conductivity, celsius, 0.0)
    ours = salinity_from_conductivity.bare(
        conductivity / 10.0 + 0.0 * celsius, celsius + ZERO_CELSIUS + 0.0 * conductivity
    )
    on_scale = (other >= 2.0) & (other <= 42.0)
    assert on_scale.sum() > 3000
    assert np.abs(ours - other)[on_scale].max() < 1e-9


def test_it_is_the_practical_salinity_scale_on_the_way_from_salinity():
    celsius = np.linspace(0.0, 35.0, 36)[:, None]
    salinity = np.linspace(2.0, 42.0, 41)[None, :]
    conductivity = gsw.C_from_SP(salinity, celsius, 0.0)
    ours = salinity_from_conductivity(Q(conductivity, "mS/cm"), Q(celsius + 0.0 * salinity, "degC"))
    assert np.abs(ours - salinity).max() < 1e-9


def test_the_standard_sea_water_has_salinity_35():
    at_15 = ZERO_CELSIUS + 15.0 / 1.00024
    assert salinity_from_conductivity.bare(STANDARD_CONDUCTIVITY, at_15) == pytest.approx(
        35.0, abs=1e-5
    )


# Properties


@given(temperatures, on_the_scale)
def test_more_salt_conducts_better(celsius, salinity):
    conductivity, kelvin = float(reading(salinity, celsius)), celsius + ZERO_CELSIUS
    bare = salinity_from_conductivity.bare
    assert bare(1.001 * conductivity, kelvin) > bare(conductivity, kelvin)


@given(st.floats(0.0, 34.0), on_the_scale, st.floats(0.1, 1.0))
def test_the_same_reading_in_warmer_water_means_less_salt(celsius, salinity, warmer):
    conductivity, kelvin = float(reading(salinity, celsius)), celsius + ZERO_CELSIUS
    bare = salinity_from_conductivity.bare
    assert bare(conductivity, kelvin + warmer) < bare(conductivity, kelvin)


@given(st.lists(temperatures, min_size=2, max_size=2), on_the_scale)
def test_an_array_gives_what_the_numbers_give(celsius, salinity):
    kelvin = np.array(celsius) + ZERO_CELSIUS
    conductivity = np.array([float(reading(salinity, t)) for t in celsius])
    together = salinity_from_conductivity.bare(conductivity, kelvin)
    pairs = zip(conductivity, kelvin, strict=True)
    assert together == pytest.approx([salinity_from_conductivity.bare(*p) for p in pairs])


def test_scalars_stay_scalars_and_arrays_stay_arrays():
    assert isinstance(salinity_from_conductivity(Q(50, "mS/cm"), ROOM), float)
    assert salinity_from_conductivity(Q([40, 50], "mS/cm"), ROOM).shape == (2,)
    square = Q([[20.0, 30.0], [40.0, 50.0]], "mS/cm")
    assert salinity_from_conductivity(square, ROOM).shape == (2, 2)


@pytest.mark.parametrize(("value", "unit"), [(5.3, "S/m"), (53, "mS/cm"), (53000, "uS/cm")])
def test_other_units_of_conductivity(value, unit):
    assert salinity_from_conductivity(Q(value, unit), ROOM) == pytest.approx(34.9473, abs=1e-3)


def test_fahrenheit():
    warm = salinity_from_conductivity(Q(53, "mS/cm"), Q(77, "degF"))
    assert warm == pytest.approx(salinity_from_conductivity(Q(53, "mS/cm"), ROOM), abs=1e-9)


# What is refused


@pytest.mark.parametrize(("value", "about"), [(3.0, "1.56"), (70.0, "47.9")])
def test_a_reading_outside_the_scale_names_the_salinity(value, about):
    with pytest.raises(ValidityError, match=f"salinity of about {about}") as caught:
        salinity_from_conductivity(Q(value, "mS/cm"), ROOM)
    assert caught.value.parameter == "conductivity"
    assert caught.value.source == "UNESCO1981"


def test_one_bad_reading_in_an_array_is_found():
    with pytest.raises(ValidityError, match=r"conductivity = 70 mS/cm"):
        salinity_from_conductivity(Q([50, 70, 3], "mS/cm"), ROOM)


def test_the_ends_of_the_scale_are_on_it():
    for salinity in (2.0, 42.0):
        conductivity = Q(float(gsw.C_from_SP(salinity, 25.0, 0.0)), "mS/cm")
        assert salinity_from_conductivity(conductivity, ROOM) == pytest.approx(salinity, abs=1e-6)
