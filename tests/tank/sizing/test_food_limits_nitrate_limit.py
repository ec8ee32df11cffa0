"""Nitrate where it is claimed to go: by volume, by food for the bacteria, within what was seen."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.tank.sizing.food_limits import nitrate_removed
from aqualib.units import Q


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 1000))
def test_never_more_than_volume_or_carbon_allow(litres, carbon, rate):
    volume, speed = Q(litres, "L"), Q(rate, "mg/L/day")
    found = nitrate_removed(volume, Q(carbon, "g/day"), speed).m
    assert found <= nitrate_removed(volume, rate=speed).m
    # 2.86 g of food for each gram of nitrogen is the least there is.
    assert found <= carbon / 2.85


def test_no_claim_no_carbon_nothing_removed():
    assert nitrate_removed(Q(0, "L")).m == 0.0
    assert nitrate_removed(Q(5, "L"), Q(0, "g/day")).m == 0.0


def test_row_spans_what_reactors_did():
    row = parameter("denitrification_rate")
    for measured in (0.14, 0.49, 18.5, 36.0, 710.0):
        assert row.low < measured < row.high


def test_carbon_needed_in_practice_and_by_bacteria_that_grow_well():
    litre, gram = Q(1e5, "L"), Q(1, "g/day")
    in_practice = 1.0 / nitrate_removed(litre, gram, Q(1000, "mg/L/day")).m
    assert 4.0 < in_practice < 6.0
    well_grown = 1.0 / nitrate_removed(litre, gram, Q(1000, "mg/L/day"), denitrifier_yield=0.67).m
    assert 8.0 < well_grown < 9.0


def test_arrays_and_scalars_agree():
    volumes = Q(np.array([0.0, 1.0, 10.0]), "L")
    together = nitrate_removed(volumes, Q(0.02, "g/day")).m
    np.testing.assert_allclose(together, [nitrate_removed(v, Q(0.02, "g/day")).m for v in volumes])
