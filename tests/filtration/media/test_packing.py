"""How pieces lie: gaps add up, a jug tells the voidage, and walls loosen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.packing import (
    bed_density,
    total_porosity,
    voidage_from_density,
    wall_voidage,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

voidages, pores = st.floats(0.2, 0.99), st.floats(0, 0.99)


@given(voidages, pores)
def test_solid_and_gaps_make_the_whole(voidage, porosity):
    solid = bed_density.bare(voidage, porosity, 2500.0) / 2500.0
    assert total_porosity.bare(voidage, porosity) + solid == pytest.approx(1)


@given(voidages, pores)
def test_a_jug_gives_the_voidage_back(voidage, porosity):
    piece = (1 - porosity) * 2500.0
    weighed = bed_density.bare(voidage, porosity, 2500.0)
    assert voidage_from_density.bare(weighed, piece) == pytest.approx(voidage)


@given(st.floats(1.5, 400))
def test_wall_loosens_and_is_lost_in_a_wide_container(widths):
    narrow, wider = (wall_voidage.bare(0.01, 0.01 * w) for w in (widths, 1.1 * widths))
    assert 0.39 < wider < narrow < 0.65


def test_wide_container_is_a_random_pile():
    # Random piles of balls lie between 0.36, shaken, and 0.44, at their loosest.
    assert wall_voidage(Q(1, "mm"), Q(1000, "mm")) == pytest.approx(0.39, abs=1e-4)


def test_narrow_container_is_refused():
    with pytest.raises(ValidityError, match="too narrow"):
        wall_voidage(Q(15, "mm"), Q(20, "mm"))
    assert wall_voidage(Q(10, "mm"), Q(15, "mm")) > 0.39


@pytest.mark.parametrize("bed", [1125, 1200])
def test_bed_as_heavy_as_a_piece_is_refused(bed):
    with pytest.raises(ValidityError, match="bed_density"):
        voidage_from_density(Q(bed, "kg/m**3"), Q(1125, "kg/m**3"))
