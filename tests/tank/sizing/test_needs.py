"""What a tank needs: there and back with what it carries, in proportion, and infinite where due."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.sizing.audit import audit_rule
from aqualib.tank.sizing.carries import what_it_carries
from aqualib.tank.sizing.needs import required_media, what_it_needs
from aqualib.tank.sizing.system import FilterSystem
from aqualib.units import Q
from aqualib.validity import ValidityError

FEED = Q(4, "g/day")


def media(feed=4.0, celsius=25.0, **rest):
    return required_media(Q(feed, "g/day"), 0.45, Q(celsius, "degC"), **rest)


@given(st.floats(0.01, 1000), st.floats(4, 33), st.floats(0, 40))
def test_twice_the_food_twice_the_media(feed, celsius, salinity):
    once, twice = (media(f, celsius, salinity=salinity) for f in (feed, 2 * feed))
    for name in ("ammonia", "area", "mass", "volume"):
        assert getattr(twice, name).m == pytest.approx(2 * getattr(once, name).m)
    assert twice.areal_rate.m == once.areal_rate.m


@given(st.floats(0.1, 5), st.floats(0, 40), st.floats(0, 20), st.floats(300, 3000))
def test_there_and_back(feed, salinity, rock, flow):
    """A filter with the media needed carries, by its surface, just the food asked for."""
    fields = {
        "salinity": salinity,
        "rock_mass": Q(rock, "kg"),
        "flow": Q(flow, "L/h"),
    }
    needed = what_it_needs(FilterSystem(**fields), feed=Q(feed, "g/day"))
    if needed.mass.best.m == 0.0:
        return  # the rock does it
    carried = what_it_carries(FilterSystem(media_mass=needed.mass.best, **fields))
    assert carried.surface.best.m == pytest.approx(feed, rel=1e-6)


def test_marine_against_fresh_at_the_published_share():
    plenty = {"total_ammonia_nitrogen": Q(50, "mg/L"), "nitrifying_share": 1}
    fresh, sea = media(**plenty), media(salinity=35, at_sea=0.28 / 0.69, **plenty)
    assert (sea.area / fresh.area).m == pytest.approx(2.464, rel=0.02)


def test_rate_given_is_rate_used():
    given_rate = media(areal_rate=Q(0.2, "g/m**2/day"), salinity=35)
    assert given_rate.area.m == pytest.approx(0.828)
    assert given_rate.areal_rate.m == pytest.approx(0.2)


def test_spans_go_the_other_way_round():
    needed = what_it_needs(FilterSystem(pad_area=Q(0, "m**2")), feed=FEED)
    for name in ("ammonia", "areal_rate", "area", "mass", "volume"):
        span = getattr(needed, name)
        assert span.low < span.best < span.high
    # The slower the film, the more media; but not all goes wrong at once.
    ammonia, rate, area = needed.ammonia, needed.areal_rate, needed.area
    assert rate.best / rate.low < area.high / area.best < ammonia.high / rate.low / area.best
    assert rate.high / rate.best < area.best / area.low < area.best / (ammonia.low / rate.high)
    for end in range(3):
        litres = needed.volume[end] / needed.mass[end]
        assert litres.m == pytest.approx((needed.volume.best / needed.mass.best).m)


def test_pads_do_their_part():
    without, beside = (media(pad_area=Q(area, "m**2")) for area in (0.0, 2.6))
    assert beside.area == without.area
    assert (without.mass - beside.mass).m == pytest.approx(2.6 / 0.711)
    assert media(pad_area=Q(100, "m**2")).mass.m == 0.0


def test_litres_of_tank_do_not_matter():
    small, large = (what_it_needs(FilterSystem(volume=Q(v, "L")), feed=FEED) for v in (50, 500))
    assert small == large


def test_stock_or_feed_but_one_of_them():
    system = FilterSystem()
    by_stock = what_it_needs(system, stock_mass=Q(486, "g"))
    by_feed = what_it_needs(system, feed=by_stock.feed)
    assert by_feed.mass.best.m == pytest.approx(by_stock.mass.best.m)
    for bad in ({}, {"feed": FEED, "stock_mass": Q(1, "kg")}):
        with pytest.raises(ValidityError, match="feed, stock_mass"):
            what_it_needs(system, **bad)
    with pytest.raises(ValidityError, match="feed"):
        what_it_needs(system, feed=4.0)


def test_rock_spares_media_and_much_rock_all_of_them():
    assert media(rock_mass=Q(10, "kg")).mass < media().mass
    assert media(rock_mass=Q(1000, "kg")).mass.m == 0.0


def test_flow_that_brings_too_little_is_refused_or_infinite():
    with pytest.raises(ValidityError, match=r"more than 69 L/h"):
        media(flow=Q(10, "L/h"))
    assert media(flow=Q(70, "L/h")).mass > media().mass
    starved = what_it_needs(FilterSystem(flow=Q(10, "L/h")), feed=FEED)
    assert np.isinf(starved.mass.high.m)
    assert np.isinf(starved.mass.best.m)


def test_no_food_no_media():
    assert media(0.0).mass.m == 0.0
    bare = what_it_needs.bare(FilterSystem().bare, 0.0)
    assert bare.mass == (0.0, 0.0, 0.0)


def test_arrays_and_scalars_agree():
    feeds = np.array([1.0, 4.0, 20.0])
    together = required_media(Q(feeds, "g/day"), 0.45, Q(25, "degC"), flow=Q(600, "L/h"))
    for at, feed in enumerate(feeds):
        alone = media(feed, flow=Q(600, "L/h"))
        assert together.mass[at].m == pytest.approx(alone.mass.m)


def test_audit_is_at_hand_here():
    assert audit_rule.name == "audit_rule"


def test_media_carried_by_the_audit_are_the_media_needed():
    needed = media(salinity=35)
    audit = audit_rule(needed.mass, Q(200, "L"), 0.45, Q(25, "degC"), salinity=35)
    assert audit.feed_carried.m == pytest.approx(4.0)
