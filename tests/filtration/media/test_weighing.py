"""Weighing: a textbook's examples, pieces made up and weighed again, and slips with the scale."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.media.weighing import closed_pores, immersion_porosity, suspended_mass
from aqualib.units import Q
from aqualib.validity import ValidityError


def weigh(dry, suspended, saturated, **more):
    return immersion_porosity(Q(dry, "g"), Q(suspended, "g"), Q(saturated, "g"), **more)


@pytest.mark.parametrize(
    ("masses", "porosity", "bulk"), [((360, 224, 385), 0.155, 2.24), ((80, 58, 92), 0.353, 2.353)]
)
def test_examples_of_the_textbook(masses, porosity, bulk):
    found = weigh(*masses, water_density=Q(1, "g/cm**3"))
    assert found.apparent_porosity == pytest.approx(porosity, abs=5e-4)
    assert found.bulk_density.m_as("g/cm**3") == pytest.approx(bulk, abs=5e-3)


def test_closed_pores_of_the_textbook():
    found = closed_pores(Q(2.24, "g/cm**3"), 0.155, Q(3.2, "g/cm**3"))
    assert found.true_porosity == pytest.approx(0.30, abs=5e-3)
    assert found.closed_fraction == pytest.approx(0.483, abs=5e-3)


@given(st.floats(0.001, 0.9), st.floats(0, 0.9), st.floats(1100, 8000), st.floats(1e-6, 1e-2))
def test_a_made_up_piece_is_found_again(open_pores, closed_share, solid, volume):
    closed = closed_share * (1 - open_pores)
    water = 998.2
    dry = solid * (1 - open_pores - closed) * volume
    saturated = dry + water * open_pores * volume
    suspended = saturated - water * volume
    found = immersion_porosity.bare(dry, suspended, saturated, water_density=water)
    assert found.apparent_porosity == pytest.approx(open_pores, abs=1e-9)
    assert found.volume == pytest.approx(volume)
    assert found.bulk_density == pytest.approx(dry / volume)
    assert found.apparent_density == pytest.approx(dry / volume / (1 - open_pores))
    assert found.absorption * found.bulk_density == pytest.approx(water * open_pores, abs=1e-6)
    back = closed_pores.bare(found.bulk_density, found.apparent_porosity, solid)
    assert back.closed_porosity == pytest.approx(closed, abs=1e-9)


@given(st.floats(1, 1e4), st.floats(0.01, 1))
def test_bowl_on_the_scale_gives_the_third_weighing(saturated, share):
    rise = saturated * share
    assert suspended_mass.bare(saturated, rise) + rise == pytest.approx(saturated)


def test_piece_that_floats_weighs_less_than_nothing_in_water():
    found = weigh(50, -40, 60)
    assert found.bulk_density.m_as("kg/m**3") < 1000
    assert 0 < found.apparent_porosity < 1


def test_warm_water_is_lighter():
    assert weigh(250, 145, 345, temperature=Q(35, "degC")).volume > weigh(250, 145, 345).volume


def test_arrays_are_the_single_numbers():
    found = weigh(np.array([250.0, 360.0]), np.array([145.0, 224.0]), np.array([345.0, 385.0]))
    one = weigh(360, 224, 385)
    assert found.apparent_porosity[1] == pytest.approx(one.apparent_porosity)
    assert found.volume.m[1] == pytest.approx(one.volume.m)


def test_slips_with_the_scale_are_refused():
    with pytest.raises(ValidityError, match="saturated"):
        weigh(250, 145, 240)
    with pytest.raises(ValidityError, match="suspended"):
        weigh(250, 250, 345)
    with pytest.raises(ValidityError, match="rise"):
        suspended_mass(Q(345, "g"), Q(0, "g"))


def test_solid_too_light_for_the_piece_is_refused():
    with pytest.raises(ValidityError, match="skeletal_density"):
        closed_pores(Q(1250, "kg/m**3"), 0.475, Q(2000, "kg/m**3"))
