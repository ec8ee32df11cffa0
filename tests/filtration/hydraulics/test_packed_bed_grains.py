"""Grains, rings and balls: geometry that can be worked out another way."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.filtration.hydraulics.packed_bed import (
    bed_permeability,
    ergun_pressure_loss,
    irregular_diameter,
    ring_diameter,
)
from aqualib.units import Q
from aqualib.validity import ValidityError


def test_a_ring_by_its_volume_and_surface():
    outside, inside, length = 25.0, 18.0, 30.0
    volume = np.pi / 4 * (outside**2 - inside**2) * length
    ends = 2 * np.pi / 4 * (outside**2 - inside**2)
    surface = np.pi * (outside + inside) * length + ends
    ring = ring_diameter(Q(outside, "mm"), Q(inside, "mm"), Q(length, "mm"))
    assert ring.m == pytest.approx(6 * volume / surface, rel=1e-12)


def test_a_stubby_rod_with_hardly_a_hole_is_like_a_ball():
    """A solid cylinder as long as wide has the same volume per surface as the ball inside it."""
    rod = ring_diameter(Q(10, "mm"), Q(0.1, "mm"), Q(10, "mm"))
    assert rod.m == pytest.approx(10, rel=0.02)


def test_the_hole_must_be_smaller_than_the_ring():
    with pytest.raises(ValidityError, match="inside"):
        ring_diameter(Q(10, "mm"), Q(10, "mm"), Q(10, "mm"))


def test_a_ball_is_its_own_diameter():
    assert irregular_diameter(Q(7, "mm"), 1).m == pytest.approx(7)


def test_permeability_is_the_slow_end_of_the_bed_law():
    velocity, viscosity = 1e-9, 1e-3
    loss = ergun_pressure_loss.bare(velocity, 1.0, 2e-3, 0.38, 1000.0, viscosity)
    assert viscosity * velocity / loss == pytest.approx(
        bed_permeability.bare(2e-3, 0.38, 150.0), rel=1e-6
    )
