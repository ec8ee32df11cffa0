"""Surface in a bed: counted ball by ball, pore by pore, and by the kilogram."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.kinds import measured_beds
from aqualib.filtration.media.packing import bed_density
from aqualib.filtration.media.pieces import sphere_area
from aqualib.filtration.media.surface import (
    area_per_mass,
    bed_area,
    pore_wall_area,
    sphere_bed_area,
)
from aqualib.units import Q

voidages, sizes = st.floats(0.2, 0.99), st.floats(1e-4, 0.4)


@given(sizes, voidages)
def test_balls_counted_one_by_one(d, voidage):
    balls = (1 - voidage) / (math.pi / 6 * d**3)
    assert sphere_bed_area.bare(d, voidage) == pytest.approx(balls * math.pi * d**2)


@given(st.floats(0.01, 0.95), st.floats(1e-8, 1e-3), voidages)
def test_pores_counted_one_by_one(porosity, width, voidage):
    length = porosity * (1 - voidage) / (math.pi / 4 * width**2)
    assert pore_wall_area.bare(porosity, width, voidage) == pytest.approx(math.pi * width * length)


@given(sizes, voidages, st.floats(0, 0.9))
def test_how_pieces_lie_cancels_out_of_a_kilogram(d, voidage, porosity):
    def of_a_kilogram(gaps):
        area = bed_area.bare(sphere_area.bare(d), gaps)
        return area_per_mass.bare(area, bed_density.bare(gaps, porosity, 2500.0))

    assert of_a_kilogram(voidage) == pytest.approx(of_a_kilogram(0.4))


@pytest.mark.parametrize("name", ["glass balls, 25 mm", "glass balls, 13 mm"])
def test_measured_beds_of_balls(name):
    bed = measured_beds()[name]
    ours = sphere_bed_area.bare(bed["size"].bare, bed["voidage"].bare)
    assert ours == pytest.approx(bed["bed_area"].bare, rel=0.02)


def test_no_pores_have_no_walls():
    assert pore_wall_area(0, Q(200, "um"), 0.4).m == 0
