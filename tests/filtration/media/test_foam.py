"""Foam: cells from pores per inch, and threads whose volume is the solid of the foam."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.bed import media_bed
from aqualib.filtration.media.foam import foam_area, foam_cell
from aqualib.filtration.media.kinds import media_kind
from aqualib.units import Q

cells, voidages = st.floats(2e-4, 0.02), st.floats(0.8, 0.995)


@given(cells, voidages)
def test_threads_hold_the_solid(cell, voidage):
    # The 36 edges of a cell are each shared by three.
    edge = cell / (2 * math.sqrt(2))
    length = 36 * edge / 3 / (8 * math.sqrt(2) * edge**3)
    thread = math.sqrt(4 * (1 - voidage) / (math.pi * length))
    assert foam_area.bare(cell, voidage) == pytest.approx(math.pi * thread * length)


@given(cells, voidages)
def test_finer_and_denser_foam_has_more_surface(cell, voidage):
    assert foam_area.bare(cell / 2, voidage) == pytest.approx(2 * foam_area.bare(cell, voidage))
    assert foam_area.bare(cell, voidage) > foam_area.bare(cell, voidage + 0.004)


def test_cell_is_an_inch_over_the_pores():
    assert foam_cell(20, 1.0).m_as("inch") == pytest.approx(1 / 20)
    assert foam_cell(40).m / foam_cell(20).m == pytest.approx(0.5)


def test_the_bed_has_the_cells_of_its_pores_per_inch():
    foam = media_kind("open-cell foam")
    per_inch = 0.0254 / foam["size"].bare
    gaps = foam["voidage"].value
    bed = media_bed("open-cell foam", Q(1, "kg"))
    in_foam = foam_area(foam_cell(per_inch), gaps) * bed.volume.best
    assert bed.outer_area.best.m_as("m**2") == pytest.approx(in_foam.m_as("m**2"))


def test_measured_foam_has_threads_as_the_docstring_says():
    # Threads are 4 (1 - voidage) over the surface in a volume.
    surface = foam_area(Q(2.69, "mm"), 0.95).m_as("1/mm")
    assert 4 * 0.05 / surface == pytest.approx(0.27, abs=0.05)
