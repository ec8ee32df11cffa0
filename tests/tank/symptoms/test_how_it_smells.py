"""Eggs and earth: the hours come from the food, and the first cause that fits is named."""

import pytest

from aqualib.parameters import parameter
from aqualib.tank.symptoms.how_it_smells import earth, eggs
from aqualib.tank.symptoms.old_tank_trap import Water
from aqualib.units import SECONDS_PER_DAY, ZERO_CELSIUS

GRAMS_A_DAY = 1e-3 / SECONDS_PER_DAY
WARM = ZERO_CELSIUS + 25
REST = WARM, 0.0, 0.0124
"""Warmth, salinity and the water in the filter."""


def test_twice_the_food_ends_the_oxygen_in_half_the_time():
    one, two = (eggs(0.0, 0.0, 0.0, x * GRAMS_A_DAY, *REST).figures["late"].bare for x in (2, 4))
    assert one == pytest.approx(2 * two)


def test_a_filter_that_stood_comes_before_old_dirt_and_deep_ground():
    hours, days = 20 * 3600.0, 90 * SECONDS_PER_DAY
    feed = 3 * GRAMS_A_DAY
    assert eggs(hours, days, 0.15, feed, *REST).place == 0
    assert eggs(0.0, days, 0.15, feed, *REST).place == 1
    assert eggs(0.0, 0.0, 0.15, feed, *REST).place == 2
    assert eggs(0.0, 0.0, 0.0, feed, *REST).place == 3


def test_the_days_are_those_at_which_a_plan_s_calendar_ends():
    """Eight weeks for both: 50 days are not yet overdue, 57 are."""
    feed = 3 * GRAMS_A_DAY
    fifty, more = (eggs(0.0, x * SECONDS_PER_DAY, 0.0, feed, *REST) for x in (50, 57))
    assert (fifty.place, more.place) == (3, 1)
    assert fifty.figures["rule"].bare == parameter("filter_cleaning").high * 7 * SECONDS_PER_DAY


def test_no_change_at_all_is_little_and_has_words():
    found = earth(0.0, 0.0, Water(0.0, 7.6, 0.06, 0.12, WARM, 0.0))
    assert found.place == 3
    # A third at most each time, from 60 towards 120 mg/L by 20.
    assert found.figures["fewer"].bare == 6
