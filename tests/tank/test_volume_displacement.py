"""What stones, wood and gravel take from the water."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media import immersion_porosity
from aqualib.parameters import parameter, parameters
from aqualib.tank.volume import displaced_by, gravel_displacement, true_water_volume
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.properties import density


def test_displaced_by_is_mass_over_density():
    assert displaced_by(Q(5.3, "kg"), Q(2650, "kg/m**3")).m == pytest.approx(2.0)
    assert displaced_by(Q(10, "lb"), Q(2.65, "g/cm**3")).m == pytest.approx(4.5359237 / 2.65)
    assert displaced_by(Q(0, "kg"), Q(2650, "kg/m**3")).m == 0.0


def test_every_density_of_what_sinks_can_be_used():
    """A kilogram of it takes less than a litre; its row says how much less."""
    sinks = [
        row
        for name, row in parameters().items()
        if name.endswith("_density") and row.unit == "kg/m**3" and row.low > 1000
    ]
    assert {"granite_density", "sunken_wood_density"} < {row.name for row in sinks}
    for row in sinks:
        for value in (row.low, row.value, row.high):
            litres = displaced_by(Q(1, "kg"), Q(value, "kg/m**3")).m
            assert litres == pytest.approx(1000.0 / value), row.name


@given(st.floats(1.0, 1e4), st.floats(0.13, 0.9), st.floats(0.0, 2.0))
def test_pieces_displace_what_they_lose_in_water_however_porous(dry, lost, soaked):
    """By three weighings: (D - S) over the density of the water, whatever soaks into the pores."""
    hung, wet = (1.0 - lost) * dry, (1.0 + soaked) * dry
    found = immersion_porosity(Q(dry, "g"), Q(hung, "g"), Q(wet, "g"), Q(20, "degC"))
    by_weighing = Q(dry - hung, "g") / density(Q(20, "degC"))
    assert displaced_by(Q(dry, "g"), found.apparent_density).m == pytest.approx(
        by_weighing.m_as("L")
    )


def test_porous_rock_takes_less_than_granite_though_it_looks_larger():
    mass = Q(10, "kg")
    granite, mineral, heap = (
        displaced_by(mass, parameter(row).quantity)
        for row in ("granite_density", "coral_mineral_density", "reef_rock_bulk_density")
    )
    assert mineral < granite < heap


def test_gravel_takes_the_row_unless_a_porosity_is_given():
    bed = (Q(2000, "cm**2"), Q(5, "cm"))
    share = parameter("gravel_porosity").value
    assert gravel_displacement(*bed).m == pytest.approx(10 * (1 - share))
    assert gravel_displacement(*bed, porosity=0.25).m == pytest.approx(7.5)
    assert gravel_displacement(*bed, porosity=[0.2, 0.3]).m.tolist() == pytest.approx([8, 7])


def test_gravel_and_its_water_make_up_the_bed():
    bed = (Q(0.2, "m**2"), Q(2, "inch"))
    grains = gravel_displacement(*bed, porosity=0.4).m
    water = gravel_displacement(*bed, porosity=0.6).m
    assert grains + water == pytest.approx(0.2 * 0.0508 * 1000)


def test_true_volume():
    assert true_water_volume(Q(54, "L"), Q(9, "L")).m == pytest.approx(45.0)
    assert true_water_volume(Q(10, "gal"), Q(1, "gal")).m_as("gal") == pytest.approx(9.0)
    assert true_water_volume(Q(54, "L"), Q(0, "L")).m == pytest.approx(54.0)
    assert true_water_volume(Q(54, "L"), Q(54, "L")).m == 0.0


def test_more_displaced_than_there_is_names_both():
    with pytest.raises(ValidityError) as caught:
        true_water_volume(Q(54, "L"), Q(60, "L"))
    assert caught.value.parameter == "displaced"
    assert "displaced = 60 L is more than the tank holds" in str(caught.value)
    assert "`gross`, here 54 L" in str(caught.value)


def test_the_first_bad_pair_of_an_array_is_shown():
    with pytest.raises(ValidityError, match=r"displaced = 7 L .* here 5 L"):
        true_water_volume(Q([10.0, 5.0, 1.0], "L"), Q(7, "L"))


def test_equal_after_rounding_is_not_refused():
    gross, displaced = Q(1, "gal"), Q(231, "inch**3")
    assert true_water_volume(gross, displaced).m == pytest.approx(0.0, abs=1e-9)
