"""The reactions: nothing is lost, slopes are slopes, and each bacterium needs what it needs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm.diffusion import SPECIES
from aqualib.filtration.porous_piece.film_parameters import film_with
from aqualib.filtration.porous_piece.reactions import (
    AMMONIA_STEP,
    AMMONIUM,
    DENITRIFICATION,
    NITRATE,
    NITRITE,
    NITRITE_STEP,
    ORGANIC,
    ORGANIC_STEP,
    OXYGEN,
    REACTIONS,
    Film,
    fastest_rates,
    stoichiometry,
)
from aqualib.parameters import parameter
from aqualib.units import Q

KELVIN = 297.15
amounts = st.lists(st.floats(0.0, 0.1), min_size=5, max_size=5)
PER_DAY = 86400e3  # g/m³ a day in kg/m³/s


def film(count=1, temperature=KELVIN, salinity=0.0, density=1.0, **changes):
    return Film.of(film_with(**changes), temperature, salinity, np.full(count, density))


def test_order_of_species_is_that_of_diffusion():
    names = {OXYGEN: "oxygen", AMMONIUM: "ammonium", NITRITE: "nitrite", NITRATE: "nitrate"}
    assert all(SPECIES[at] == name for at, name in names.items())
    assert SPECIES[ORGANIC] == "organic carbon"
    assert len(REACTIONS) == 4


def test_nitrogen_is_kept_by_nitrification_and_leaves_by_denitrification():
    made = stoichiometry(film_with())
    nitrogen = made[:, [AMMONIUM, NITRITE, NITRATE]].sum(axis=1)
    assert nitrogen == pytest.approx([0.0, 0.0, 0.0, -1.0])


def test_oxygen_demand_is_that_of_the_water_room():
    made = stoichiometry(film_with())
    assert -made[AMMONIA_STEP, OXYGEN] == pytest.approx(3.427 - 0.18, abs=0.001)
    assert -made[NITRITE_STEP, OXYGEN] == pytest.approx(1.142 - 0.06, abs=0.001)
    assert made[DENITRIFICATION, OXYGEN] == 0.0


def test_organic_carbon_is_burnt_or_becomes_cells():
    # The electrons: COD taken up is oxygen used plus cells; 2.86 g of oxygen per g of nitrate N.
    made = stoichiometry(film_with(heterotroph_yield=0.6, denitrifier_yield=0.5))
    assert made[ORGANIC_STEP, OXYGEN] == pytest.approx(-0.4)
    assert made[DENITRIFICATION, ORGANIC] == pytest.approx(-2.857 / 0.5, rel=1e-3)


@given(amounts)
def test_slopes_are_those_of_the_rates(row):
    cell, here, step = film(), np.array([row]) + 1e-6, 1e-9
    rates, slopes = cell.rates(here)
    for species in range(5):
        more = here.copy()
        more[0, species] += step
        change = (cell.rates(more)[0] - rates) / step
        assert slopes[:, species] == pytest.approx(change, rel=1e-3, abs=1e-6 * slopes.max())


@given(amounts)
def test_rates_are_between_nothing_and_the_fastest(row):
    cell = film()
    rates, _ = cell.rates(np.array([row]))
    assert np.all(rates >= 0.0)
    assert np.all(rates <= cell.fastest)


def test_half_saturations_halve():
    plenty = 1e3
    assumed = film_with()
    for reaction, species, half in (
        (AMMONIA_STEP, AMMONIUM, assumed.ammonia_half),
        (AMMONIA_STEP, OXYGEN, assumed.ammonia_oxygen),
        (NITRITE_STEP, NITRITE, assumed.nitrite_half),
        (NITRITE_STEP, OXYGEN, assumed.nitrite_oxygen),
        (ORGANIC_STEP, ORGANIC, assumed.organic_half),
        (ORGANIC_STEP, OXYGEN, assumed.organic_oxygen),
    ):
        here = np.full((1, 5), plenty)
        here[0, species] = half
        cell = film()
        assert cell.rates(here)[0][0, reaction] == pytest.approx(cell.fastest[reaction] / 2, 1e-3)


def test_denitrification_needs_nitrate_and_food_and_no_oxygen():
    cell = film()
    plenty = np.array([[0.0, 1.0, 1.0, 1e3, 1e3]])
    most = cell.rates(plenty)[0][0, DENITRIFICATION]
    assert most == pytest.approx(cell.fastest[DENITRIFICATION], rel=1e-3)
    for species, value in ((NITRATE, 0.0), (ORGANIC, 0.0)):
        without = plenty.copy()
        without[0, species] = value
        assert cell.rates(without)[0][0, DENITRIFICATION] == 0.0
    half = plenty.copy()
    half[0, OXYGEN] = film_with().organic_oxygen
    assert cell.rates(half)[0][0, DENITRIFICATION] == pytest.approx(most / 2.0, rel=1e-3)


def test_rates_are_those_of_the_rows_at_their_temperature():
    ammonia, nitrite, organic, nitrate = fastest_rates(film_with(), KELVIN, 0.0) * PER_DAY
    assert ammonia == pytest.approx(parameter("film_ammonia_rate").value)
    assert nitrite == pytest.approx(1.2 * ammonia)
    assert organic == pytest.approx(parameter("film_organic_rate").value)
    # As much COD as with oxygen, but slower; each g of nitrogen takes 5.01 g of it.
    assert nitrate == pytest.approx(organic * 0.8 / 5.01, rel=2e-3)


def test_warmth_and_salt():
    cool, warm = (fastest_rates(film_with(), kelvin, 0.0) for kelvin in (283.15, 293.15))
    paces = [parameter(f"{name}_warming").value ** 10 for name in
             ("film", "film", "heterotroph", "heterotroph")]  # fmt: skip
    assert warm / cool == pytest.approx(paces)
    fresh, brackish, sea, brine = (
        fastest_rates(film_with(), KELVIN, salinity) for salinity in (0.0, 17.5, 35.0, 40.0)
    )
    share = parameter("sea_film_capacity").value
    assert sea[:2] == pytest.approx(share * fresh[:2])
    assert brackish[:2] == pytest.approx((1.0 + share) / 2.0 * fresh[:2])
    assert brine[:2] == pytest.approx(sea[:2])
    assert sea[2:] == pytest.approx(fresh[2:])


def test_thinner_crowds_work_in_proportion():
    here = np.tile([[0.005, 0.001, 0.0002, 0.01, 0.003]], (3, 1))
    one = Film.of(film_with(), KELVIN, 0.0, np.array([1.0, 0.25, 0.0]))
    rates, slopes = one.rates(here)
    assert rates[1] == pytest.approx(rates[0] / 4.0)
    assert slopes[1] == pytest.approx(slopes[0] / 4.0)
    assert np.all(rates[2] == 0.0)


def test_capacity_is_in_the_published_range():
    # Films of 0.02 to 0.5 mm at the value of the row, against 0.69 g/m² a day.
    capacity = parameter("film_ammonia_rate").quantity * parameter("biofilm_thickness").quantity
    assert capacity.to("g/m**2/day").m == pytest.approx(0.69, rel=0.25)
    assert Q(0.69, "g/m**2/day") == parameter("ammonia_film_capacity").quantity
