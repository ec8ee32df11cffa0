"""Each limit as food: in proportion, back to what was put in, and a balance of oxygen."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.load.nitrogen import ammonia_production
from aqualib.tank.load.wastes import solids_production
from aqualib.tank.sizing.food_limits import (
    feed_for_ammonia,
    feed_for_dirt,
    feed_for_filter_oxygen,
    feed_for_tank_oxygen,
)
from aqualib.tank.sizing.oxygen import oxygen_needs
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.nitrogen import oxygen_demand

FEED, PROTEIN, OXYGEN = st.floats(0.01, 1000), st.floats(0.01, 1), st.floats(0.01, 1000)


@given(FEED, PROTEIN)
def test_ammonia_there_and_back(feed, protein):
    ammonia = ammonia_production(Q(feed, "g/day"), protein)
    assert feed_for_ammonia(ammonia, protein).m == pytest.approx(feed)


@given(FEED, st.floats(1, 365))
def test_dirt_there_and_back(feed, days):
    held = solids_production(Q(feed, "g/day")) * Q(days, "day")
    assert feed_for_dirt(held, Q(days, "day")).m == pytest.approx(feed)


@given(OXYGEN, PROTEIN, st.floats(0, 20), st.floats(0, 2))
def test_filter_uses_just_the_oxygen_it_gets(oxygen, protein, elsewhere, dirt):
    feed = feed_for_filter_oxygen(Q(oxygen, "g/day"), protein, Q(elsewhere, "g/day"), dirt).m
    made = ammonia_production.bare(feed, protein)
    used = oxygen_demand.bare(max(made - elsewhere, 0.0), True) + dirt * feed
    assert used == pytest.approx(oxygen, rel=1e-6)


@given(OXYGEN, PROTEIN, st.floats(0, 5))
def test_tank_uses_just_the_oxygen_it_gets(oxygen, protein, fish):
    feed = feed_for_tank_oxygen(Q(oxygen, "g/day"), protein, fish=fish).m
    assert feed * oxygen_needs(protein, fish=fish).everything == pytest.approx(oxygen)


@given(OXYGEN, PROTEIN)
def test_rock_and_growers_help(oxygen, protein):
    amount = Q(oxygen, "g/day")
    without = feed_for_filter_oxygen(amount, protein)
    assert feed_for_filter_oxygen(amount, protein, Q(1, "g/day")).m > without.m
    assert feed_for_tank_oxygen(amount, protein, fish=1.0).m < (
        feed_for_tank_oxygen(amount, protein).m
    )


def test_cleaned_twice_as_often_carries_twice():
    once = feed_for_dirt(Q(60, "g"), Q(30, "day")).m
    assert feed_for_dirt(Q(60, "g"), Q(15, "day")).m == pytest.approx(2 * once)


def test_nothing_carries_nothing():
    assert feed_for_ammonia(Q(0, "g/day"), 0.45).m == 0.0
    assert feed_for_filter_oxygen(Q(0, "g/day"), 0.45).m == 0.0
    assert feed_for_tank_oxygen(Q(0, "g/day"), 0.45).m == 0.0
    assert feed_for_dirt(Q(0, "g"), Q(7, "day")).m == 0.0


def test_food_without_protein_is_refused():
    with pytest.raises(ValidityError, match="protein_fraction"):
        feed_for_ammonia(Q(1, "g/day"), 0.0)


def test_arrays_and_scalars_agree():
    amounts = Q(np.array([1.0, 10.0, 100.0]), "g/day")
    for function in (feed_for_ammonia, feed_for_filter_oxygen, feed_for_tank_oxygen):
        together = function(amounts, 0.45).m
        np.testing.assert_allclose(together, [function(a, 0.45).m for a in amounts])
