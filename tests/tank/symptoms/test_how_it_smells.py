"""Eggs and earth: the hours come from the food, and the first cause that fits is named."""

import pytest

from aqualib.tank.symptoms.how_it_smells import earth, eggs
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS

GRAMS_A_DAY = 1e-3 / SECONDS_PER_DAY
WARM = ZERO_CELSIUS + 25


def test_twice_the_food_ends_the_oxygen_in_half_the_time():
    one, two = (eggs(0.0, 0.0, 0.0, x * GRAMS_A_DAY, WARM).figures["late"].bare for x in (2, 4))
    assert one == pytest.approx(2 * two)


def test_a_filter_that_stood_comes_before_old_dirt_and_deep_ground():
    hours, days = 20 * 3600.0, 90 * SECONDS_PER_DAY
    feed = 3 * GRAMS_A_DAY
    assert eggs(hours, days, 0.15, feed, WARM).place == 0
    assert eggs(0.0, days, 0.15, feed, WARM).place == 1
    assert eggs(0.0, 0.0, 0.15, feed, WARM).place == 2
    assert eggs(0.0, 0.0, 0.0, feed, WARM).place == 3


def test_no_change_at_all_has_a_count_too():
    assert 1000 < earth(0.0, 0.0).figures["changes"].bare < 3000
