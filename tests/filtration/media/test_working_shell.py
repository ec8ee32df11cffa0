"""The shell that works: nothing at no depth, all at half the width, slabs and balls between."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.working_shell import (
    ball_shell_share,
    ring_shell_share,
    walls_in_reach,
)
from aqualib.units import Q

sizes, depths = st.floats(1e-4, 0.4), st.floats(0, 0.1)


@given(sizes, depths)
def test_ball_shell_is_what_the_core_leaves(d, depth):
    core = max(d / 2 - depth, 0.0)
    assert ball_shell_share.bare(d, depth) == pytest.approx(1 - (core / (d / 2)) ** 3)


@given(sizes, sizes, depths, depths)
def test_shares_lie_between_none_and_all_and_rise(wall, length, one, other):
    low, high = sorted((one, other))
    for share in (
        lambda depth: ball_shell_share.bare(wall, depth),
        lambda depth: ring_shell_share.bare(wall, length, depth),
    ):
        assert 0 <= share(low) <= share(high) <= 1
        assert share(0.0) == 0
        assert share(wall / 2) == pytest.approx(1)


def test_a_long_wall_is_a_slab():
    found = ring_shell_share(Q(3, "mm"), Q(500, "mm"), Q(0.3, "mm"))
    assert found == pytest.approx(0.2, rel=0.01)


def test_thin_shell_of_a_ball_is_its_surface_times_the_depth():
    assert ball_shell_share.bare(0.015, 1e-7) == pytest.approx(6 / 0.015 * 1e-7, rel=1e-4)


@given(st.floats(0, 1e4), st.floats(0, 1))
def test_walls_in_reach_are_a_part(walls, share):
    assert walls_in_reach.bare(walls, share, 2e-4, 1e-5) == pytest.approx(walls * share)
    assert walls_in_reach.bare(walls, share, 5e-6, 1e-5) == 0


def test_arrays_of_pores():
    found = walls_in_reach(Q(2, "m**2/L"), 0.5, Q(np.array([1.0, 10.0, 200.0]), "um"), Q(10, "um"))
    assert found.m_as("m**2/L") == pytest.approx([0, 1, 1])
