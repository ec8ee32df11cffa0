"""Volumes of tanks of several shapes, checked against geometry by other roads."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.volume import (
    bow_front_volume,
    cylinder_volume,
    hexagon_volume,
    inside,
    rectangular_volume,
)
from aqualib.units import Q
from aqualib.validity import ValidityError


def litres(quantity) -> float:
    return quantity.m_as("L")


def test_inside_takes_one_pane_or_two():
    assert inside(Q(100, "cm"), Q(10, "mm")).m == pytest.approx(98.0)
    assert inside(Q(50, "cm"), Q(10, "mm"), panes=1).m == pytest.approx(49.0)
    assert inside(Q(50, "cm"), Q(0, "mm")).m == pytest.approx(50.0)


def test_inside_refuses_glass_that_fills_the_tank():
    with pytest.raises(ValidityError, match=r"glass_thickness = 100 mm leaves no room") as caught:
        inside(Q(20, "cm"), Q(100, "mm"))
    assert caught.value.parameter == "glass_thickness"
    with pytest.raises(ValidityError, match=r"glass_thickness = 6 mm leaves no room"):
        inside(Q([60, 1], "cm"), Q([10, 6], "mm"))
    with pytest.raises(ValidityError, match="glass_thickness"):
        inside(Q([100, 10], "cm"), Q(60, "mm"))


@pytest.mark.parametrize("panes", [0, 3])
def test_inside_counts_whole_panes(panes):
    with pytest.raises(ValidityError, match="panes"):
        inside(Q(20, "cm"), Q(6, "mm"), panes)


def test_any_length_unit():
    metric = rectangular_volume(Q(60.96, "cm"), Q(30.48, "cm"), Q(40.64, "cm"))
    inches = rectangular_volume(Q(24, "inch"), Q(12, "inch"), Q(16, "inch"))
    mixed = rectangular_volume(Q(2, "ft"), Q(304.8, "mm"), Q(0.4064, "m"))
    assert litres(inches) == pytest.approx(litres(metric))
    assert litres(mixed) == pytest.approx(litres(metric))
    assert inches.m_as("gal") == pytest.approx(24 * 12 * 16 / 231)
    assert str(inches.units) == "liter"


def test_twice_the_size_holds_eight_times_the_water():
    side = Q(30, "cm")
    for shape, sizes in ((rectangular_volume, 3), (cylinder_volume, 2), (hexagon_volume, 2)):
        small, large = shape(*[side] * sizes), shape(*[2 * side] * sizes)
        assert litres(large) == pytest.approx(8 * litres(small))


def test_six_triangles_make_a_hexagon():
    # between the circle inside its panes and the circle through its corners
    side = 30.0
    volume = litres(hexagon_volume(Q(side, "cm"), Q(50, "cm")))
    inner = litres(cylinder_volume(Q(side * math.sqrt(3), "cm"), Q(50, "cm")))
    outer = litres(cylinder_volume(Q(2 * side, "cm"), Q(50, "cm")))
    assert inner < volume < outer
    assert volume == pytest.approx(6 * math.sqrt(3) / 4 * 0.09 * 0.5 * 1000)


def segment_by_adding_slices(chord: float, bow: float) -> float:
    """The area under the arc, found by summing thin slices."""
    radius = (chord**2 / 4 + bow**2) / (2 * bow)
    x = np.linspace(-chord / 2, chord / 2, 200_001)
    heights = np.sqrt(np.maximum(radius**2 - x**2, 0.0)) - (radius - bow)
    return float(np.sum((heights[1:] + heights[:-1]) / 2) * (x[1] - x[0]))


@pytest.mark.parametrize(("chord", "bow"), [(90, 10), (120, 1), (60, 25), (80, 40), (100, 0.1)])
def test_bow_front_against_slices(chord, bow):
    lengths = (Q(chord, "cm"), Q(30, "cm"), Q(bow, "cm"), Q(100, "cm"))
    added = litres(bow_front_volume(*lengths)) - chord * 30 * 100 / 1000
    assert added == pytest.approx(segment_by_adding_slices(chord, bow) / 10, rel=2e-5)


@given(st.floats(5, 1000), st.floats(0.001, 0.5))
def test_bow_adds_between_two_thirds_and_four_fifths_of_its_box(length, share):
    bow = max(share * length, 0.1)
    if bow > length / 2:
        return
    lengths = (Q(length, "cm"), Q(30, "cm"), Q(bow, "cm"), Q(50, "cm"))
    box = length * bow * 50 / 1000
    added = litres(bow_front_volume(*lengths)) - length * 30 * 50 / 1000
    assert 0.6666 * box < added < math.pi / 4 * box * 1.0001


def test_bow_is_at_most_a_half_circle():
    sizes = (Q(80, "cm"), Q(20, "cm"))
    assert litres(bow_front_volume(*sizes, Q(40, "cm"), Q(50, "cm"))) > 0
    with pytest.raises(ValidityError, match=r"bow = 41 cm is more than a half circle") as caught:
        bow_front_volume(*sizes, Q(41, "cm"), Q(50, "cm"))
    assert caught.value.parameter == "bow"
    with pytest.raises(ValidityError, match=r"bow = 10 cm is more than a half circle"):
        bow_front_volume(Q([90, 10], "cm"), Q(30, "cm"), Q([20, 10], "cm"), Q(50, "cm"))


def test_arrays_of_depths():
    depths = Q(np.array([10.0, 20.0, 40.0]), "cm")
    for volume in (
        rectangular_volume(Q(60, "cm"), Q(30, "cm"), depths),
        cylinder_volume(Q(60, "cm"), depths),
        hexagon_volume(Q(30, "cm"), depths),
        bow_front_volume(Q(60, "cm"), Q(30, "cm"), Q(5, "cm"), depths),
    ):
        np.testing.assert_allclose(volume.m / volume.m[0], [1, 2, 4])
