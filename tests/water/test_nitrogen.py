"""Nitrification and denitrification: balances of oxygen, acid and electrons."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.units import Q
from aqualib.validity import ValidityError
from aqualib.water import nitrogen as n

SIMPLE = (
    n.oxygen_demand,
    n.ammonia_step_oxygen,
    n.nitrite_step_oxygen,
    n.alkalinity_demand,
    n.denitrification_carbon_demand,
    n.alkalinity_returned,
)
amounts = st.floats(0, 1e6)


@pytest.mark.parametrize("growing", [False, True])
@given(amount=amounts)
def test_the_two_steps_add_up(growing, amount):
    steps = (f.bare(amount, growing) for f in (n.ammonia_step_oxygen, n.nitrite_step_oxygen))
    assert sum(steps) == pytest.approx(n.oxygen_demand.bare(amount, growing), rel=1e-14)


@pytest.mark.parametrize("function", SIMPLE)
@given(amount=amounts, factor=st.floats(0, 100))
def test_demands_are_proportional_to_the_nitrogen(function, amount, factor):
    assert function.bare(factor * amount) == pytest.approx(
        factor * function.bare(amount), rel=1e-12
    )


@pytest.mark.parametrize("function", SIMPLE)
def test_array_equals_one_by_one(function):
    values = np.array([0.0, 1.0, 20.0])
    together = function(Q(values, "g/day")).m_as("g/day")
    assert together.tolist() == [function(Q(v, "g/day")).m_as("g/day") for v in values]


@pytest.mark.parametrize("function", SIMPLE)
@pytest.mark.parametrize("unit", ["mg/L", "g", "oz/day", "g/m**2/day"])
def test_the_answer_keeps_the_unit_given(function, unit):
    assert function(Q(1, unit)).units == Q(1, unit).units


def test_growing_cells_saves_oxygen_and_alkalinity():
    one = Q(1, "g")
    assert n.oxygen_demand(one, synthesis=True) < n.oxygen_demand(one)
    assert n.alkalinity_demand(one, synthesis=True) < n.alkalinity_demand(one)


def test_the_rules_of_thumb():
    assert n.oxygen_demand.bare(1.0) == pytest.approx(4.57, abs=0.005)
    assert n.oxygen_demand.bare(1.0, synthesis=True) == pytest.approx(4.33, abs=0.005)
    assert n.alkalinity_demand.bare(1.0) == pytest.approx(7.14, abs=0.006)
    assert n.ammonia_step_oxygen.bare(1.0) / n.oxygen_demand.bare(1.0) == pytest.approx(0.75)


def test_denitrification_gives_back_half_of_the_alkalinity():
    assert 2 * n.alkalinity_returned.bare(1.0) == pytest.approx(n.alkalinity_demand.bare(1.0))


@given(share=st.floats(0, 0.9))
def test_food_splits_into_breathing_and_cells(share):
    food = n.denitrification_carbon_demand.bare(1.0, share)
    breathed = food * (1 - share)
    # Electrons: 5 moles per mole of nitrate, 4 per mole of oxygen.
    assert breathed == pytest.approx(5 / 4 * 31.998 / 14.007, rel=1e-12)


def test_the_yield_left_out_is_the_parameter():
    share = parameter("denitrifier_yield").value
    left_out = n.denitrification_carbon_demand(Q(1, "g"))
    assert left_out == n.denitrification_carbon_demand(Q(1, "g"), share)


@pytest.mark.parametrize("share", [-0.1, 0.95, float("nan"), "half", True, Q(1, "g")])
def test_bad_yield_is_named(share):
    with pytest.raises(ValidityError) as caught:
        n.denitrification_carbon_demand(Q(1, "g"), share)
    assert caught.value.parameter == "biomass_yield"


@pytest.mark.parametrize("bad", [1, None, True, "1 g", Q(-1, "g"), Q(1, "m"), Q(np.nan, "g")])
@pytest.mark.parametrize("function", SIMPLE)
def test_bad_amount_is_named(function, bad):
    with pytest.raises(ValidityError) as caught:
        function(bad)
    assert caught.value.parameter in {"nitrified", "nitrate_nitrogen"}
