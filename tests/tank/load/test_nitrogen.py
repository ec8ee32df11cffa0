"""The nitrogen of the food: it adds up, and the design value is what the row says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.tank.load.nitrogen import (
    NitrogenBudget,
    ammonia_production,
    ammonia_rise,
    feed_nitrogen,
    nitrogen_budget,
    time_to_reach,
)
from aqualib.tank.load.stock import daily_feed, fasting_oxygen, oxygen_roads, stock_wastes
from aqualib.tank.load.wastes import (
    carbon_dioxide_production,
    phosphorus_production,
    solids_production,
)
from aqualib.units import Q
from aqualib.validity import ValidityError

FEED = Q(10, "g/day")


def test_ammonia_share_of_the_nitrogen():
    share = ammonia_production(FEED, 0.45) / feed_nitrogen(FEED, 0.45)
    assert share.m_as("") == pytest.approx(0.575)


def test_feed_in_any_unit_of_rate():
    per_day = ammonia_production(Q(240, "g/day"), 0.4).m
    assert ammonia_production(Q(10, "g/hour"), 0.4).m == pytest.approx(per_day)
    assert ammonia_production(Q(1.68, "kg/week"), 0.4).m == pytest.approx(per_day)


def test_low_and_high_ends_of_the_row_can_be_tried():
    row = parameter("ammonia_per_protein")
    low, best, high = (
        ammonia_production(FEED, 0.45, ammonia_per_protein=value).m
        for value in (row.low, row.value, row.high)
    )
    assert low < best < high
    assert best == ammonia_production(FEED, 0.45).m


def test_nothing_from_nothing():
    assert ammonia_production(Q(0, "g/day"), 0.45).m == 0.0
    assert feed_nitrogen(FEED, 0).m == 0.0
    assert all(part.m == 0.0 for part in nitrogen_budget(Q(0, "g/day"), 0.45))


@given(st.floats(0, 1e6), st.floats(0, 1), st.floats(0.8, 1), st.floats(0.72, 1))
def test_budget_adds_up_to_the_nitrogen_fed(feed, protein, taken_up, excreted):
    budget = nitrogen_budget(Q(feed, "g/day"), protein, taken_up, excreted)
    fed = feed_nitrogen(Q(feed, "g/day"), protein).m
    assert sum(part.m for part in budget) == pytest.approx(fed, rel=1e-12, abs=1e-12)
    assert all(part.m >= -1e-12 * fed for part in budget)


def test_budget_with_the_rows():
    budget = nitrogen_budget(Q(1000, "g/day"), 0.45)
    assert isinstance(budget, NitrogenBudget)
    assert budget.total_ammonia.m == pytest.approx(ammonia_production(Q(1, "kg/day"), 0.45).m)
    assert budget.other_dissolved.m == pytest.approx(0.065 * 72)
    assert budget.solids.m == pytest.approx(0.20 * 72)
    assert budget.retained.m == pytest.approx(0.16 * 72)


def test_budget_refuses_less_excreted_than_the_ammonia():
    with pytest.raises(ValidityError, match=r"taken_up, excreted = 0.35 together"):
        nitrogen_budget(FEED, 0.45, taken_up=0.7, excreted=0.5)
    with pytest.raises(ValidityError, match="taken_up, excreted"):
        nitrogen_budget(FEED, 0.45, taken_up=[0.9, 0.5])


def test_budget_at_either_end_of_its_rows():
    for row, name in (
        (parameter("feed_nitrogen_taken_up"), "taken_up"),
        (parameter("taken_up_nitrogen_excreted"), "excreted"),
    ):
        for value in (row.low, row.high):
            assert nitrogen_budget(FEED, 0.45, **{name: value}).other_dissolved.m >= 0


def test_from_food_to_the_hour():
    """10 g of food a day at 45 % in 100 L of water: 1 mg/L of ammonia within six hours."""
    rise = ammonia_rise(ammonia_production(FEED, 0.45), Q(100, "L"))
    hours = time_to_reach(Q(1, "mg/L"), Q(0, "mg/L"), rise)
    assert hours.m == pytest.approx(24 / 4.14)


STOCK = Q(300, "g"), Q(3, "g"), Q(26, "degC")


def test_wastes_of_a_stock_are_those_of_the_single_functions():
    wastes = stock_wastes(*STOCK, 0.45, ration=2)
    feed = daily_feed(*STOCK, ration=2)
    assert wastes.feed.m == pytest.approx(feed.m)
    assert wastes.ammonia.m == pytest.approx(ammonia_production(feed, 0.45).m)
    assert wastes.solids.m == pytest.approx(solids_production(feed).m)
    assert wastes.phosphorus.m == pytest.approx(phosphorus_production(feed).phosphorus.m)
    assert wastes.oxygen.m == pytest.approx(oxygen_roads(*STOCK, feed).larger.m)
    assert wastes.carbon_dioxide.m == pytest.approx(carbon_dioxide_production(wastes.oxygen).m)


def test_a_fasting_tank_still_breathes():
    wastes = stock_wastes(*STOCK, 0.45, ration=0)
    assert (wastes.feed.m, wastes.ammonia.m, wastes.solids.m, wastes.phosphorus.m) == (0, 0, 0, 0)
    assert wastes.oxygen.m == pytest.approx(fasting_oxygen(*STOCK).m)
    assert wastes.carbon_dioxide.m > wastes.oxygen.m > 0.0


def test_wastes_of_many_stocks_at_once():
    rations = np.array([0.0, 1.0, 2.5])
    wastes = stock_wastes(*STOCK, 0.45, ration=rations)
    for place, ration in enumerate(rations):
        one = stock_wastes(*STOCK, 0.45, ration=float(ration))
        assert [many.m[place] for many in wastes] == pytest.approx([single.m for single in one])


def test_units_of_the_stock_do_not_matter():
    ounces = stock_wastes(Q(16, "oz"), Q(0.1, "oz"), Q(77, "degF"), 0.45)
    grams = stock_wastes(Q(453.59237, "g"), Q(2.8349523125, "g"), Q(25, "degC"), 0.45)
    assert [rate.m for rate in ounces] == pytest.approx([rate.m for rate in grams])
