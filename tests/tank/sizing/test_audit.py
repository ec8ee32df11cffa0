"""The audit of a rule: kilograms for litres turned into food a day, and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.filtration.biofilm import areal_rate
from aqualib.tank.sizing.audit import audit_rule
from aqualib.tank.sizing.needs import required_media
from aqualib.units import Q

RULE = {
    "media_mass": Q(2, "kg"),
    "volume": Q(100, "L"),
    "protein_fraction": 0.45,
    "temperature": Q(25, "degC"),
}


@given(st.floats(0.1, 50), st.floats(4, 33), st.floats(0, 40), st.floats(0.2, 0.6))
def test_food_carried_is_the_food_that_needs_this_media(mass, celsius, salinity, protein):
    """The other way round: `required_media` for the food carried gives the kilograms back."""
    place = protein, Q(celsius, "degC"), salinity
    carried = audit_rule(Q(mass, "kg"), Q(100, "L"), *place).feed_carried
    assert required_media(carried, *place).mass.m == pytest.approx(mass)


@given(st.floats(0.01, 100))
def test_rate_needed_carries_the_food(feed):
    needed = audit_rule(**RULE, feed=Q(feed, "g/day")).areal_rate_needed
    again = audit_rule(**RULE, feed=Q(feed, "g/day"), areal_rate=needed)
    assert again.feed_carried.m == pytest.approx(feed)
    assert again.load_share == pytest.approx(1.0)


def test_rule_in_pounds_and_gallons_is_nearly_the_rule_in_kilograms():
    pounds = audit_rule(**{**RULE, "media_mass": Q(4.4, "lb"), "volume": Q(26, "gal")})
    assert pounds.media_density.m == pytest.approx(2.0, rel=0.015)
    assert pounds.feed_density.m == pytest.approx(audit_rule(**RULE).feed_density.m, rel=0.015)


def test_the_same_kilograms_carry_the_same_food_in_any_tank():
    """Why a rule for litres cannot come from biology: the litres fall out."""
    audit = audit_rule(**{**RULE, "volume": Q(np.array([50.0, 100.0, 400.0]), "L")})
    carried = np.broadcast_to(audit.feed_carried.m, 3)
    assert np.ptp(carried) == 0.0
    np.testing.assert_allclose(audit.feed_density.m * [0.5, 1.0, 4.0], carried)


def test_ten_times_the_food_needs_ten_times_the_rate():
    one, ten = (audit_rule(**RULE, feed=Q(f, "g/day")).areal_rate_needed.m for f in (1, 10))
    assert ten == pytest.approx(10 * one)


def test_published_ends_of_the_rate_give_the_range_of_kilograms():
    """4 g at 45 % in 200 L, 0.47 m² a kilogram: 0.25 to 3.5 kg for 100 L from 0.7 to 0.05."""
    each = Q(320 / 675, "m**2/kg")
    for rate, kilograms in ((0.7, 0.25), (0.05, 3.5)):
        audit = audit_rule(
            **{**RULE, "media_mass": Q(kilograms, "kg")},
            feed=Q(2, "g/day"),
            area_per_mass=each,
            areal_rate=Q(rate, "g/m**2/day"),
        )
        assert audit.load_share == pytest.approx(1.0, rel=0.01)


def test_sea_water_carries_less_by_the_row_of_salt():
    plenty = {"total_ammonia_nitrogen": Q(50, "mg/L"), "nitrifying_share": 1}
    fresh, sea = (audit_rule(**RULE, salinity=s, **plenty).feed_carried.m for s in (0, 35))
    assert sea / fresh == pytest.approx(0.28 / 0.69, rel=0.02)
    # With little ammonia left the way in counts too, which salt leaves as it is.
    fresh, sea = (audit_rule(**RULE, salinity=s).feed_carried.m for s in (0, 35))
    assert sea / fresh == pytest.approx(0.49, abs=0.01)


def test_more_warmth_and_more_ammonia_left_carry_more():
    warmth = audit_rule(**{**RULE, "temperature": Q(np.linspace(4, 30, 12), "degC")})
    assert np.all(np.diff(warmth.feed_carried.m) > 0.0)
    left = audit_rule(**RULE, total_ammonia_nitrogen=Q(np.geomspace(0.01, 10, 9), "mg/L"))
    assert np.all(np.diff(left.feed_carried.m) > 0.0)


def test_rate_is_that_of_the_film_unless_given():
    audit = audit_rule(**RULE, salinity=20, total_ammonia_nitrogen=Q(1, "mg/L"))
    assert audit.areal_rate.m == pytest.approx(areal_rate(Q(1, "mg/L"), Q(25, "degC"), 20).m)


def test_without_food_there_is_no_load():
    audit = audit_rule(**RULE)
    assert audit.load_share == 0.0
    assert audit.areal_rate_needed.m == 0.0
