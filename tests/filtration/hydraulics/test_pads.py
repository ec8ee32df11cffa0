"""Pads and foam, clean and dirty."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.hydraulics.packed_bed import bed_permeability, ergun_pressure_loss
from aqualib.filtration.hydraulics.pads import (
    pad_clogging,
    pad_pressure_loss,
)
from aqualib.validity import ValidityError
from aqualib.water.properties import density, dynamic_viscosity

COOL = 293.15


def test_a_bed_told_by_its_permeabilities_is_the_bed():
    diameter, voidage = 1e-3, 0.4
    inertial = voidage**3 * diameter / (1.75 * (1 - voidage))
    pad = pad_pressure_loss.bare(
        0.01, 0.1, bed_permeability.bare(diameter, voidage, 150.0), inertial, COOL
    )
    water = density.bare(COOL), dynamic_viscosity.bare(COOL)
    assert pad == pytest.approx(ergun_pressure_loss.bare(0.01, 0.1, diameter, voidage, *water))


def test_clogging_multiplies_the_friction_alone():
    clean, twice, thrice = (
        pad_pressure_loss.bare(0.01, 0.05, 5e-8, 5e-4, COOL, 0.0, r) for r in (1, 2, 3)
    )
    assert thrice - twice == pytest.approx(twice - clean)
    assert twice < 2 * clean


@given(st.floats(0.2, 0.98), st.floats(0, 0.95))
def test_dirt_never_eases_the_way_and_grains_clog_faster(voidage, filled):
    pad = pad_clogging.bare(filled * voidage, voidage)
    # Grains, whose walls grow towards one another (Kozeny and Carman): more voidage lost counts.
    grains = ((1 - voidage * (1 - filled)) / (1 - voidage)) ** 2 / (1 - filled) ** 3
    assert 1 <= pad <= grains * (1 + 1e-12)


def test_clean_is_one_and_full_is_refused():
    assert pad_clogging(0, 0.9) == 1
    with pytest.raises(ValidityError, match="deposit"):
        pad_clogging(0.9, 0.9)
    with pytest.raises(ValidityError, match="deposit"):
        pad_clogging([0.1, 0.5], [0.9, 0.4])
