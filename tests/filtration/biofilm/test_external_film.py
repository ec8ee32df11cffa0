"""The film outside: both laws, their border, what is refused, and the picture of a still film."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm.external_film import bed_film_coefficient, film_flux, film_thickness
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.properties import density, dynamic_viscosity

WARM = Q(20, "degC")
OXYGEN = Q(2.13e-9, "m**2/s")
BALLS = {"diameter": Q(5, "mm"), "voidage": 0.4, "diffusivity": OXYGEN, "temperature": WARM}


def velocity_at(reynolds):
    kinematic = dynamic_viscosity(WARM) / density(WARM)
    return (reynolds * kinematic / BALLS["diameter"]).to("m/s")


def test_slow_flow_goes_with_the_cube_root():
    one, eight = (bed_film_coefficient(velocity_at(r), **BALLS) for r in (1, 8))
    assert (eight / one).m_as("") == pytest.approx(2)


def test_fast_flow_goes_with_the_power_of_the_second_law():
    slow, fast = (bed_film_coefficient(velocity_at(r), **BALLS) for r in (100, 1000))
    assert (fast / slow).m_as("") == pytest.approx(10**0.69)


def test_the_laws_part_by_four_per_cent_at_their_border():
    below, above = (bed_film_coefficient(velocity_at(r), **BALLS) for r in (54.9999, 55.0001))
    assert (below / above).m_as("") == pytest.approx(0.075368 / 0.072182, rel=1e-3)


@given(st.floats(10, 1499))
def test_sherwood_number_lies_near_that_of_another_law(reynolds):
    # Wakao & Funazkri, from memory: Sh = 2 + 1.1 Re^0.6 Sc^(1/3); a fit of gases and liquids.
    coefficient = bed_film_coefficient(velocity_at(reynolds), **BALLS)
    sherwood = (coefficient * BALLS["diameter"] / OXYGEN).m_as("")
    schmidt = (dynamic_viscosity(WARM) / density(WARM) / OXYGEN).m_as("")
    other = 2 + 1.1 * reynolds**0.6 * schmidt ** (1 / 3)
    assert 0.75 < sherwood / other < 1.3


def test_an_array_crosses_the_border_like_its_numbers():
    speeds = velocity_at(np.array([10.0, 50.0, 60.0, 500.0]))
    together = bed_film_coefficient(speeds, **BALLS).m
    assert together == pytest.approx([bed_film_coefficient(v, **BALLS).m for v in speeds])


@pytest.mark.parametrize("reynolds", [0.0, 0.0015, 1501.0])
def test_outside_the_measured_flows_is_refused(reynolds):
    with pytest.raises(ValidityError, match="Reynolds"):
        bed_film_coefficient(velocity_at(reynolds), **BALLS)


@pytest.mark.parametrize("diffusivity", [7e-9, 1e-11])
def test_outside_the_measured_substances_is_refused(diffusivity):
    with pytest.raises(ValidityError, match="Schmidt"):
        bed_film_coefficient(Q(5, "mm/s"), **{**BALLS, "diffusivity": Q(diffusivity, "m**2/s")})


@given(st.floats(1e-10, 3e-9), st.floats(1e-6, 1e-3), st.floats(0, 20))
def test_a_film_so_thick_lets_as_much_through(spread, coefficient, difference):
    thickness = film_thickness(Q(spread, "m**2/s"), Q(coefficient, "m/s"))
    if thickness.m_as("um") < 0.1:
        return
    flux = film_flux(Q(difference, "mg/L"), Q(spread, "m**2/s"), thickness)
    expected = coefficient * difference * 86400
    assert flux.m_as("g/m**2/day") == pytest.approx(expected, rel=1e-9)
