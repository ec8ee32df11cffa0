"""Nitrate out of a rule: no kilogram of media says where the carbon comes from."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.tank.load.nitrogen import ammonia_production
from aqualib.tank.sizing.audit import nitrate_audit
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water.nitrogen import denitrification_carbon_demand


@given(st.floats(0.01, 100), st.floats(1, 1e4), st.floats(0, 100), st.floats(0.05, 1))
def test_rates_times_their_litres_are_the_nitrogen(mass, litres, feed, protein):
    audit = nitrate_audit(Q(mass, "kg"), Q(litres, "L"), Q(feed, "g/day"), protein)
    nitrogen = ammonia_production(Q(feed, "g/day"), protein).m
    assert audit.nitrogen.m == pytest.approx(nitrogen)
    assert (audit.media_rate * audit.media_volume).m_as("g/day") == pytest.approx(nitrogen)
    assert (audit.tank_rate * Q(litres, "L")).m_as("g/day") == pytest.approx(nitrogen)


def test_more_media_ease_the_media_but_not_the_tank():
    masses = Q(np.array([1.0, 2.0, 4.0]), "kg")
    audit = nitrate_audit(masses, Q(100, "L"), Q(2, "g/day"), 0.45)
    assert np.all(np.diff(audit.media_rate.m) < 0.0)
    assert np.ptp(np.broadcast_to(audit.tank_rate.m, 3)) == 0.0


def test_carbon_in_practice_is_more_than_the_least():
    audit = nitrate_audit(Q(2, "kg"), Q(100, "L"), Q(2, "g/day"), 0.45)
    assert audit.carbon_least.m == pytest.approx(
        denitrification_carbon_demand(Q(0.0828, "g/day"), 0.0).m
    )
    # Klas et al. 2006: 4 to 6 g for each gram of nitrogen.
    assert audit.carbon_least.m < 4 * audit.nitrogen.m < audit.carbon.m < 6 * audit.nitrogen.m


def test_measured_rates_of_the_loops_are_the_ends_of_the_row():
    """9.9, 20.6 and 35.1 µmol per litre a day, as mg of nitrogen."""
    row = parameter("loop_denitrification")
    converted = [rate * 14.007 / 1000 for rate in (9.9, 20.6, 35.1)]
    assert (row.low, row.value, row.high) == pytest.approx(converted, abs=0.005)


def test_no_food_asks_for_nothing():
    audit = nitrate_audit(Q(2, "kg"), Q(100, "L"), Q(0, "g/day"), 0.45)
    assert audit.media_rate.m == audit.tank_rate.m == audit.carbon.m == 0.0


@pytest.mark.parametrize(
    ("name", "value"),
    [("media_mass", Q(0, "kg")), ("volume", Q(0, "L")), ("protein_fraction", 0.0)],
)
def test_nothing_to_divide_by_is_refused(name, value):
    good = {"media_mass": Q(2, "kg"), "volume": Q(100, "L"), "feed": Q(2, "g/day")}
    with pytest.raises(ValidityError, match=name):
        nitrate_audit(**{**good, "protein_fraction": 0.45, name: value})
