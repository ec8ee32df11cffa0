"""A bed of carbon: contact, one pass, life and grams, and how they hang together."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.carbon.adsorption import freundlich_loading
from aqualib.filtration.carbon.bed import (
    bed_life,
    carbon_in_layer,
    empty_bed_contact_time,
    removed_in_one_pass,
)
from aqualib.parameters import parameter
from aqualib.units import Q


@given(st.floats(1e-5, 10.0), st.floats(1e-7, 1.0))
def test_twice_the_flow_is_half_the_time(volume, flow):
    once = empty_bed_contact_time.bare(volume, flow)
    assert empty_bed_contact_time.bare(volume, 2.0 * flow) == pytest.approx(once / 2.0)
    assert once * flow == pytest.approx(volume)


@given(st.floats(0.0, 1e4), st.floats(0.0, 1e4), st.floats(1e-5, 1.0))
def test_two_beds_one_behind_the_other_are_one_bed(first, second, rate):
    passed = (1 - removed_in_one_pass.bare(first, rate)) * (
        1 - removed_in_one_pass.bare(second, rate)
    )
    assert 1 - removed_in_one_pass.bare(first + second, rate) == pytest.approx(passed, abs=1e-12)


def test_flow_hardly_changes_what_a_short_bed_takes():
    """Flow times share tends to k times the bed's volume."""
    flow = np.array([1e-4, 1e-3, 1e-2])
    share = removed_in_one_pass.bare(0.5e-3 / flow, 0.005)
    taken = flow * share
    assert np.all(np.diff(taken) > 0.0)
    assert taken[-1] == pytest.approx(0.005 * 0.5e-3, rel=1e-3)


def test_rate_left_out_is_the_parameter():
    given_rate = removed_in_one_pass(Q(10, "s"), parameter("carbon_rate").quantity)
    assert removed_in_one_pass(Q(10, "s")) == given_rate


def test_life_is_what_is_held_over_what_comes():
    life = bed_life(Q(1, "kg"), Q(10, "L/h"), Q(2, "mg/L"), 5.0, 0.4)
    held = freundlich_loading(Q(2, "mg/L"), 5.0, 0.4) * Q(1, "kg")
    assert life.m == pytest.approx((held / Q(10, "L/h") / Q(2, "mg/L")).m_as("day"))


def test_dirtier_water_shortens_the_life_if_the_isotherm_is_bowed():
    life = bed_life.bare(1.0, 1e-6, np.geomspace(1e-6, 1.0, 20), 5.0, 0.4)
    assert np.all(np.diff(life) < 0.0)


def test_a_pad_holds_a_fraction_of_a_bag():
    room = Q(491, "cm**2"), Q(10, "mm")
    bag = carbon_in_layer(*room, Q(400, "kg/m**3"))
    assert bag.m == pytest.approx(491 * 0.4)
    row = parameter("carbon_pad_share")
    assert 0.0 < row.low < row.high < 1.0
    pad = carbon_in_layer(*room, Q(400, "kg/m**3"), share=row.value)
    assert pad.m == pytest.approx(row.value * bag.m)
    assert carbon_in_layer(Q(491, "cm**2"), Q(0, "mm")).m == 0.0
