"""Oxygen used, carbon dioxide given off, dirt left: all in proportion to the food."""

from __future__ import annotations

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.load.wastes import (
    carbon_dioxide_production,
    oxygen_consumption,
    solids_production,
)
from aqualib.units import Q

FEED = Q(8, "g/day")


@pytest.mark.parametrize(
    ("function", "name"),
    [(oxygen_consumption, "oxygen_per_feed"), (solids_production, "solids_per_feed")],
)
def test_factor_is_the_row_unless_given(function, name):
    row = parameter(name)
    assert function(FEED).m == pytest.approx(8 * row.value)
    assert function(FEED, **{name: row.high}).m == pytest.approx(8 * row.high)
    assert function(FEED, [row.low, row.high]).m.tolist() == pytest.approx(
        [8 * row.low, 8 * row.high]
    )


@pytest.mark.parametrize("function", [oxygen_consumption, solids_production])
def test_in_proportion_to_the_food(function):
    amounts = function(Q(np.array([0.0, 1.0, 2.0, 10.0]), "g/day")).m
    np.testing.assert_allclose(amounts, amounts[1] * np.array([0, 1, 2, 10]))


def test_one_mole_for_one_mole():
    oxygen = Q(2 * 15.999, "g/day")
    assert carbon_dioxide_production(oxygen).m == pytest.approx(12.011 + 2 * 15.999)
    assert carbon_dioxide_production(oxygen, 0.7).m == pytest.approx(0.7 * 44.009)
    assert carbon_dioxide_production(Q(1, "kg/day")).m == pytest.approx(1375, rel=0.0005)
