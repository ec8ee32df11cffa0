"""The law of a film: its two limits, its algebra, and what it was measured to do."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm import film_law as law
from aqualib.filtration.biofilm.film_law import ammonia_for_rate, film_uptake, first_order_rate
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.oxygen import saturation

FOOD, TRANSFER, MOST, HALF = (
    st.floats(1e-3, 100),
    st.floats(0.05, 5),
    st.floats(0.01, 3),
    st.floats(0.01, 5),
)


def uptake(food, transfer, most, half):
    amounts = Q(transfer, "m/day"), Q(most, "g/m**2/day"), Q(half, "mg/L")
    return film_uptake(Q(food, "mg/L"), *amounts).m


@given(FOOD, TRANSFER, MOST, HALF)
def test_both_steps_carry_the_same(food, transfer, most, half):
    rate = uptake(food, transfer, most, half)
    reaching = food - rate / transfer
    assert reaching > -1e-9 * food
    assert rate == pytest.approx(most * reaching / (half + reaching), rel=1e-6, abs=1e-9 * most)


@given(FOOD, TRANSFER, MOST, HALF)
def test_never_more_than_the_way_in_or_the_mouths_allow(food, transfer, most, half):
    rate = uptake(food, transfer, most, half)
    assert rate < transfer * food
    assert rate < most * food / (half + food)


@given(FOOD, FOOD, TRANSFER, MOST, HALF)
def test_more_food_more_work_but_less_for_each_milligram(one, other, transfer, most, half):
    less, more = sorted((one, other))
    a, b = (uptake(food, transfer, most, half) for food in (less, more))
    assert a <= b * (1 + 1e-12)
    assert a / less >= b / more * (1 - 1e-9)


def test_a_thin_film_loses_no_digits():
    thin = law.share_of_most(1e-3, 5e-4, 1e-18)
    assert thin == pytest.approx(2.0 / 3.0, rel=1e-14)


@given(TRANSFER, MOST, HALF)
def test_scarce_food_meets_two_hindrances_in_a_row(transfer, most, half):
    slope = first_order_rate(Q(transfer, "m/day"), Q(most, "g/m**2/day"), Q(half, "mg/L")).m
    assert uptake(1e-6, transfer, most, half) == pytest.approx(1e-6 * slope, rel=1e-3)


@given(st.floats(0.01, 0.99), TRANSFER, MOST, HALF)
def test_there_and_back(share, transfer, most, half):
    film = Q(transfer, "m/day"), Q(most, "g/m**2/day"), Q(half, "mg/L")
    food = ammonia_for_rate(share * film[1], *film)
    assert film_uptake(food, *film).m == pytest.approx(share * most, rel=1e-9)


def test_more_than_its_most_is_refused():
    with pytest.raises(ValidityError, match=r"less than most = 0\.6"):
        ammonia_for_rate(Q(0.6, "g/m**2/day"), Q(1, "m/day"), Q(0.6, "g/m**2/day"))


def test_the_published_pair_of_one_film():
    # Kinyage et al. 2019: 0.10 g/m²/day at most and 0.22 m/day. Ours with that most gives 0.16.
    slope = first_order_rate(Q(0.92, "m/day"), Q(0.10, "g/m**2/day")).m
    assert slope == pytest.approx(0.164, abs=0.001)
    assert 0.22 / slope < 1.35


def test_oxygen_counts_in_proportion_when_it_is_short():
    full = law.film_in_water(law.film_rows(), 298.15, 0.0, 1.0)
    air = saturation.bare(298.15, 0.0)
    most = {share: law.with_oxygen(full, 1.0, share * air).ammonia_most for share in (0.05, 0.1, 1)}
    assert most[0.1] / most[0.05] == pytest.approx(2.0, abs=0.05)
    # From a tenth to all of it the film goes over to being short of mouths.
    assert 4.0 < most[1] / most[0.1] < 8.0
    assert law.with_oxygen(full, 1.0, 0.0) == (full.transfer, 0.0, 0.0)


def test_a_film_whose_oxygen_cannot_get_in_does_less_than_it_could():
    # The widest corner of the rows: a strong film behind a slow way in.
    corner = law.film_rows()._replace(transfer=0.3 / 86400, capacity=1e-3 / 86400)
    full = law.film_in_water(corner, 297.15, 0.0, 1.0)
    found = law.with_oxygen(full, 1.0, saturation.bare(297.15))
    assert 0.0 < found.ammonia_most < corner.capacity


def test_numbers_from_a_table_of_rows_are_those_of_the_rows():
    from aqualib.parameters import parameter

    rows = {row: parameter(row).value for row in law.FILM_LAW_ROWS.values()}
    assert np.array(law.film_numbers(rows)) == pytest.approx(np.array(law.film_rows()))
