"""Diffusion: order of the species, warmth and salt, and the shares in film and stone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm.diffusion import (
    SPECIES,
    diffusivity,
    effective_diffusivity,
    pore_diffusivity,
)
from aqualib.parameters import parameter
from aqualib.units import Q

species = st.sampled_from(SPECIES)
temperatures = st.floats(0, 39)
salinities = st.floats(0, 42)
# S cm²/mol at infinite dilution and 25 °C, from memory.
CONDUCTIVITIES = {"ammonium": 73.5, "nitrite": 71.8, "nitrate": 71.42}


@given(species, temperatures, salinities)
def test_warmer_is_faster_and_saltier_is_slower(name, temperature, salinity):
    here = diffusivity(name, Q(temperature, "degC"), salinity)
    assert diffusivity(name, Q(temperature + 1, "degC"), salinity) > here
    assert diffusivity(name, Q(temperature, "degC"), 0) >= here
    assert 0.2e-9 < here.m_as("m**2/s") < 4e-9


def test_order_of_the_species_at_25_degrees():
    values = {name: diffusivity(name, Q(25, "degC")).m for name in SPECIES}
    assert list(values) == ["oxygen", "ammonium", "nitrite", "nitrate", "organic carbon"]
    assert values["oxygen"] == max(values.values())
    assert values["organic carbon"] == min(values.values())
    low, high = (parameter("organic_diffusivity").low, parameter("organic_diffusivity").high)
    assert low < values["organic carbon"] < high


@pytest.mark.parametrize("name", CONDUCTIVITIES)
def test_ions_agree_with_their_conductivity(name):
    # Nernst-Einstein: an independent road through electricity.
    mobile = 8.314462618 * 298.15 * CONDUCTIVITIES[name] * 1e-4 / 96485.33212**2
    assert diffusivity(name, Q(25, "degC")).m_as("m**2/s") == pytest.approx(mobile, rel=0.03)


@pytest.mark.parametrize("name", SPECIES)
@pytest.mark.parametrize("celsius", [5, 10, 15, 20, 30])
def test_growth_with_warmth_is_near_that_of_temperature_over_viscosity(name, celsius):
    # Viscosities of IAPWS at 5 to 30 °C, mPa s.
    water = {5: 1.51817, 10: 1.30590, 15: 1.13757, 20: 1.00160, 25: 0.890022, 30: 0.797222}
    expected = (celsius + 273.15) / 298.15 * water[25] / water[celsius]
    ratio = diffusivity(name, Q(celsius, "degC")) / diffusivity(name, Q(25, "degC"))
    assert ratio.m_as("") == pytest.approx(expected, rel=0.2)


@given(species, st.lists(temperatures, min_size=2, max_size=4), salinities)
def test_an_array_is_the_same_as_its_numbers(name, many, salinity):
    together = diffusivity(name, Q(many, "degC"), salinity).m
    one_by_one = [diffusivity(name, Q(one, "degC"), salinity).m for one in many]
    assert together == pytest.approx(one_by_one, rel=1e-12)


def test_salinity_may_be_an_array():
    values = diffusivity("oxygen", Q(25, "degC"), np.array([0.0, 35.0]))
    assert values.shape == (2,)
    assert values[1] / values[0] == pytest.approx(0.928, rel=0.01)


@given(st.floats(1e-11, 1e-8), st.floats(0.01, 1), st.floats(1, 20))
def test_film_and_pores_only_slow_it_down(free, share, tortuosity):
    amount = Q(free, "m**2/s")
    assert effective_diffusivity(amount, share) <= amount
    assert pore_diffusivity(amount, share, tortuosity) <= amount * share
    assert effective_diffusivity(amount, 1.0).m == pytest.approx(free)
    assert pore_diffusivity(amount, 1.0, 1.0).m == pytest.approx(free)
    assert pore_diffusivity(amount, 0.0, tortuosity).m == 0.0


def test_defaults_are_the_rows():
    free = Q(1e-9, "m**2/s")
    share = parameter("film_diffusivity_share").value
    winding = parameter("pore_tortuosity").value
    assert effective_diffusivity(free).m == pytest.approx(share * 1e-9)
    assert pore_diffusivity(free, 0.5).m == pytest.approx(0.5e-9 / winding)
