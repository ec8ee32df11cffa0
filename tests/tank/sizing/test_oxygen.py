"""Oxygen for the food: who uses it, what brings it, and where it ends."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.tank.sizing.oxygen import (
    fish_oxygen_per_feed,
    oxygen_by_flow,
    oxygen_needs,
    oxygen_through_surface,
    surface_exchange_rate,
)
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.oxygen import saturation

PROTEIN, NEED = st.floats(0, 1), st.floats(0, 3)


@given(PROTEIN, NEED, NEED)
def test_the_parts_add_up(protein, fish, dirt):
    needs = oxygen_needs(protein, fish=fish, dirt=dirt)
    assert needs.everything == pytest.approx(needs.fish + needs.nitrification + needs.dirt)
    assert needs.nitrification == pytest.approx(protein * oxygen_needs(1.0).nitrification)


def test_food_takes_less_than_if_it_were_burnt():
    # A trade article has 1.25 g if all food is burnt but what is harvested.
    assert 0.4 < oxygen_needs(0.35).everything < 1.25
    fish, dirt = parameter("oxygen_per_feed").high, parameter("dirt_oxygen_per_feed").high
    assert oxygen_needs(0.35, fish, dirt).everything == pytest.approx(1.25, rel=0.02)
    assert oxygen_needs(0.45, fish=fish_oxygen_per_feed(Q(5, "g"), Q(25, "degC"))).everything < 1.3


def test_twice_as_deep_is_half_as_fast():
    shallow, deep = (surface_exchange_rate(Q(cm, "cm")) for cm in (30, 60))
    assert shallow.m == pytest.approx(2 * deep.m)


def test_a_rippled_tank_of_usual_depth_has_about_the_row():
    row, depth = parameter("surface_exchange"), parameter("water_depth").quantity
    assert surface_exchange_rate(depth).m == pytest.approx(row.value, rel=0.1)
    still = parameter("surface_film_velocity")
    least = surface_exchange_rate(depth, Q(still.low, still.unit))
    assert least.m == pytest.approx(row.low, rel=0.1)
    # A lake in the wind lies between: 1.50 and 2.64 m a day.
    lake = [surface_exchange_rate(depth, Q(v, "m/day")).m for v in (1.50, 2.64)]
    assert row.low < lake[0] < lake[1] < row.value


@given(st.floats(0.1, 2000), st.floats(4, 33), st.floats(0.05, 14))
def test_more_food_less_breath_for_each_gram(body, celsius, ration):
    less = fish_oxygen_per_feed(Q(body, "g"), Q(celsius, "degC"), ration)
    more = fish_oxygen_per_feed(Q(body, "g"), Q(celsius, "degC"), ration * 1.05)
    assert more <= less * (1 + 1e-9)
    assert more >= 0.25


def test_flow_that_loses_all_it_has_or_nothing():
    assert oxygen_by_flow(Q(600, "L/h"), Q(6, "mg/L"), Q(6, "mg/L")).m == 0.0
    assert oxygen_by_flow(Q(0, "L/h"), Q(6, "mg/L"), Q(0, "mg/L")).m == 0.0
    with pytest.raises(ValidityError, match="oxygen_out"):
        oxygen_by_flow(Q(600, "L/h"), Q(6, "mg/L"), Q([5, 7], "mg/L"))


def test_least_flow_for_four_grams_of_food():
    # 0.1656 g of ammonia nitrogen takes 0.717 g of oxygen: 9.96 L/h that lose 3 mg/L.
    nitrification = 4.0 * oxygen_needs(0.45).nitrification
    brought = oxygen_by_flow(Q(9.956, "L/h"), Q(6, "mg/L"), Q(3, "mg/L"))
    assert brought.m_as("g/day") == pytest.approx(nitrification, rel=1e-3)


@given(st.floats(4, 33), st.floats(0, 40), st.floats(0.1, 100))
def test_air_brings_nothing_to_full_water(celsius, salinity, exchange):
    t = Q(celsius, "degC")
    full = saturation(t, salinity)
    brought = oxygen_through_surface(Q(100, "L"), t, full, Q(exchange, "1/h"), salinity)
    most = oxygen_through_surface(Q(100, "L"), t, Q(0, "mg/L"), Q(exchange, "1/h"), salinity)
    assert brought.m == pytest.approx(0.0, abs=1e-9 * most.m)
    half = oxygen_through_surface(Q(100, "L"), t, full / 2, Q(exchange, "1/h"), salinity)
    assert half.m == pytest.approx(most.m / 2)


def test_above_full_it_goes_out():
    assert oxygen_through_surface(Q(100, "L"), Q(25, "degC"), Q(12, "mg/L")).m < 0.0


def test_arrays_and_scalars_agree():
    rations = np.array([0.5, 1.0, 3.0, 10.0])
    together = fish_oxygen_per_feed(Q(5, "g"), Q(25, "degC"), rations)
    one_by_one = [fish_oxygen_per_feed(Q(5, "g"), Q(25, "degC"), r) for r in rations]
    np.testing.assert_allclose(together, one_by_one)
    needs = oxygen_needs(np.array([0.2, 0.5]))
    assert all(np.shape(part) == (2,) for part in needs)
