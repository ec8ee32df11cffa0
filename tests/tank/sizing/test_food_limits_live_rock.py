"""Live rock's surface: geometry of balls, and small beside that of filter media."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.tank.sizing.food_limits import rock_area
from aqualib.units import Q


@given(st.floats(0.1, 100), st.floats(20, 400), st.floats(1, 10))
def test_surface_is_that_of_the_balls(kilograms, width, roughness):
    density = 2000.0
    radius = width / 2000.0
    balls = kilograms / (density * 4.0 / 3.0 * np.pi * radius**3)
    expected = roughness * balls * 4.0 * np.pi * radius**2
    found = rock_area(
        Q(kilograms, "kg"), Q(width, "mm"), roughness, bulk_density=Q(density, "kg/m**3")
    )
    assert found.m == pytest.approx(expected)


def test_a_kilogram_of_rock_has_less_than_one_of_media():
    rock = rock_area(Q(1, "kg")).m
    assert rock < parameter("media_area_per_mass").value / 4
    ends = rock_area(Q(1, "kg"), roughness=np.array([1.0, 10.0])).m
    assert ends[0] < rock < ends[1]


def test_no_rock_no_surface():
    assert rock_area(Q(0, "kg")).m == 0.0
