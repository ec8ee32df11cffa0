"""Pads and foam, clean and dirty."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.hydraulics.packed_bed import bed_permeability, ergun_pressure_loss
from aqualib.filtration.hydraulics.pads import (
    foam_inertial_permeability,
    foam_permeability,
    pad_clogging,
    pad_pressure_loss,
)
from aqualib.filtration.media.foam import foam_cell
from aqualib.parameters import parameter
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


# Reticulated polyurethane foam (DoutresEtAl2014, secondary copy): width of a cell, resistivity in
# air, Pa s/m². The first made the row, the others did not.
FOAMS = {0.673e-3: 3490, 1e-3: 1677, 1.5e-3: 600, 0.5e-3: 4000}
AIR = 1.85e-5
"""Viscosity of air at 20 °C, Pa s."""


@pytest.mark.parametrize("cell", FOAMS)
def test_foam_of_measured_cells_lies_in_the_range_of_the_row(cell):
    row, measured = parameter("foam_permeability_ratio"), AIR / FOAMS[cell]
    assert row.low * cell**2 < measured < row.high * cell**2
    assert foam_permeability.bare(cell) == pytest.approx(measured, rel=0.4)


@pytest.mark.parametrize(("length", "permeability"), [(513, 6.78), (534.9, 9.77), (306.9, 4.57)])
def test_three_foams_measured_by_others_do_too(length, permeability):
    """Ning, Zhao & He 2019, same note: thermal length in µm, which is 0.56 of the cell's width."""
    row, cell = parameter("foam_permeability_ratio"), 1e-6 * length / 0.56
    assert row.low * cell**2 < permeability * 1e-9 < row.high * cell**2


@pytest.mark.parametrize(("pores_per_inch", "inches"), [(20, 0.045), (100, 1.0)])
def test_fast_air_loses_what_was_printed(pores_per_inch, inches):
    """Half an inch of foam in air at 350 feet a minute (OpenPoreFoam1964); within a factor of 1.6.

    The inertial row comes from these two pressures, the permeability does not.
    """
    cell = foam_cell.bare(pores_per_inch)
    velocity, depth, water = 350 * 0.3048 / 60, 0.0127, 249.09
    pressure = depth * (
        AIR * velocity / foam_permeability.bare(cell)
        + 1.2 * velocity**2 / foam_inertial_permeability.bare(cell)
    )
    assert 1 / 1.6 < pressure / (inches * water) < 1.6
    slow = depth * AIR * velocity / foam_permeability.bare(cell)
    assert slow < inches * water


@pytest.mark.parametrize(
    ("pores_per_inch", "permeability", "inertial", "ratio"),
    [(30, 5.08e-8, 5.46e-4, 1.3), (50, 1.57e-8, 1.66e-4, 1.6), (80, 6.52e-9, 1.15e-4, 1.2)],
)
def test_foam_of_alumina_resists_more_at_the_same_count(
    pores_per_inch, permeability, inertial, ratio
):
    """Numbers from memory of another foam, three quarters open, which the lessons once used.

    At 10 mm/s it takes 1.2 to 1.6 times the pressure, nearly all of it because its thick threads
    make water turn; in slow flow it takes no more. Not two to five times, as had been feared.
    """
    cell = foam_cell.bare(pores_per_inch)
    ours = foam_permeability.bare(cell), foam_inertial_permeability.bare(cell)
    here, there = (
        pad_pressure_loss.bare(0.01, 0.05, *numbers, COOL)
        for numbers in (ours, (permeability, inertial))
    )
    assert there / here == pytest.approx(ratio, abs=0.1)
    assert permeability > ours[0]


def test_water_in_a_filter_hardly_feels_the_inertia_of_foam():
    for cell in (0.67e-3, 1.8e-3):
        numbers = foam_permeability.bare(cell), foam_inertial_permeability.bare(cell)
        whole = pad_pressure_loss.bare(0.005, 0.04, *numbers, COOL)
        slow = pad_pressure_loss.bare(0.005, 0.04, numbers[0], 1e3, COOL)
        assert slow > 0.85 * whole
