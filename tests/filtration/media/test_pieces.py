"""Pieces: surface over volume against plain geometry, and what bad input does."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.pieces import irregular_area, ring_area, sphere_area
from aqualib.units import Q
from aqualib.validity import ValidityError

sizes = st.floats(1e-4, 0.4)


@given(sizes)
def test_ball_is_its_surface_over_its_volume(d):
    assert sphere_area.bare(d) == pytest.approx(math.pi * d**2 / (math.pi * d**3 / 6))


@given(sizes, st.floats(0.05, 0.95), sizes)
def test_ring_is_its_surface_over_its_wall(outside, hole, length):
    inside = hole * outside
    ends = math.pi / 2 * (outside**2 - inside**2)
    surface = math.pi * (outside + inside) * length + ends
    volume = math.pi / 4 * (outside**2 - inside**2) * length
    assert ring_area.bare(outside, inside, length) == pytest.approx(surface / volume)


@given(sizes)
def test_cube_has_the_surface_of_its_sphericity(edge):
    size = edge * (6 / math.pi) ** (1 / 3)
    sphericity = math.pi * size**2 / (6 * edge**2)
    assert irregular_area.bare(size, sphericity) == pytest.approx(6 / edge)


@given(sizes)
def test_nothing_has_less_surface_than_a_ball(d):
    assert irregular_area.bare(d, 1.0) == pytest.approx(sphere_area.bare(d))
    assert irregular_area.bare(d, 0.7) > sphere_area.bare(d)


def test_arrays_are_the_single_numbers():
    sizes_of = np.array([1.0, 5.0, 20.0])
    found = sphere_area(Q(sizes_of, "mm")).m_as("1/m")
    assert found == pytest.approx([sphere_area(Q(d, "mm")).m_as("1/m") for d in sizes_of])


@pytest.mark.parametrize("inside", [15, 16])
def test_hole_as_wide_as_the_ring_is_refused(inside):
    with pytest.raises(ValidityError, match="inside"):
        ring_area(Q(15, "mm"), Q(inside, "mm"), Q(15, "mm"))
