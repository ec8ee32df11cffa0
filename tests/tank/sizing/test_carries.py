"""What a filter carries: each limit takes its turn, the smallest is named, spans hold the best."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.draws import Span
from aqualib.parameters import parameter
from aqualib.tank.load.nitrogen import ammonia_production
from aqualib.tank.load.stock import daily_feed
from aqualib.tank.sizing import carries as c
from aqualib.tank.sizing.carries import LIMITS, what_it_carries
from aqualib.tank.sizing.system import FilterSystem
from aqualib.tank.sizing.uncertainty import best
from aqualib.units import Q
from aqualib.validity import ValidityError

PARTS = ("surface", "filter_oxygen", "tank_oxygen", "dirt")

TURNS = [
    ({}, "surface"),
    ({"media_mass": Q(100, "kg")}, "dirt"),
    ({"media_mass": Q(100, "kg"), "dirt_held": Q(5, "kg")}, "tank_oxygen"),
    (
        {
            "media_mass": Q(100, "kg"),
            "dirt_held": Q(5, "kg"),
            "surface_exchange": Q(50, "1/h"),
            "total_ammonia_nitrogen": Q(5, "mg/L"),
            "flow": Q(60, "L/h"),
        },
        "filter_oxygen",
    ),
    ({"media_mass": Q(100, "kg"), "flow": Q(2, "L/h"), "oxygen_at_outlet": 0.0}, "flow"),
]


@pytest.mark.parametrize(("given_fields", "expected"), TURNS)
def test_each_limit_takes_its_turn(given_fields, expected):
    carried = what_it_carries(FilterSystem(**given_fields))
    assert carried.limiting == expected
    assert expected in LIMITS
    assert max(carried.chances, key=carried.chances.get) == expected


@given(
    st.floats(0.1, 100),
    st.floats(10, 3000),
    st.floats(4, 33),
    st.floats(0, 40),
    st.floats(0.05, 5),
    st.floats(0, 100),
)
@settings(max_examples=60)
def test_spans_hold_their_best_and_the_smallest_counts(media, flow, celsius, salt, ammonia, rock):
    carried = what_it_carries(
        FilterSystem(
            media_mass=Q(media, "kg"),
            flow=Q(flow, "L/h"),
            temperature=Q(celsius, "degC"),
            salinity=salt,
            total_ammonia_nitrogen=Q(ammonia, "mg/L"),
            rock_mass=Q(rock, "kg"),
        )
    )
    for name in (*PARTS, "feed", "stock"):
        span = getattr(carried, name)
        assert 0.0 < span.low.m <= span.best.m <= span.high.m, name
    assert carried.feed.best.m == min(getattr(carried, name).best.m for name in PARTS)
    assert carried.feed.low.m <= min(getattr(carried, name).low.m for name in PARTS)
    assert sum(carried.chances.values()) == pytest.approx(1.0)
    named = "surface" if carried.limiting == "flow" else carried.limiting
    assert getattr(carried, named).best.m == carried.feed.best.m


def test_media_count_in_proportion_while_flow_is_plenty():
    once, twice = (
        what_it_carries(
            FilterSystem(media_mass=Q(kg, "kg"), pad_area=Q(0, "m**2"), flow=Q(1e6, "L/h"))
        )
        for kg in (2, 4)
    )
    assert twice.surface.best.m == pytest.approx(2 * once.surface.best.m, rel=1e-4)
    assert twice.dirt == once.dirt


def test_much_surface_leaves_the_rest_to_oxygen():
    fields = {"dirt_held": Q(1e5, "g"), "flow": Q(1e4, "L/h")}
    carried = what_it_carries(FilterSystem(media_mass=Q(1e5, "kg"), **fields))
    assert carried.limiting == "tank_oxygen"
    assert carried.feed.best == carried.tank_oxygen.best


def test_no_media_and_no_rock_carry_nothing():
    nothing = {"media_mass": Q(0, "kg"), "pad_area": Q(0, "m**2")}
    carried = what_it_carries(FilterSystem(**nothing))
    assert [end.m for end in carried.feed] == [0.0, 0.0, 0.0]
    with_rock = what_it_carries(FilterSystem(**nothing, rock_mass=Q(20, "kg")))
    assert with_rock.surface.best.m > 0.5


def test_stock_eats_the_food():
    system = FilterSystem(body_mass=Q(20, "g"), ration=2.0, temperature=Q(25, "degC"))
    carried = what_it_carries(system)
    eaten = daily_feed(carried.stock.best, Q(20, "g"), Q(25, "degC"), 2.0)
    assert eaten.m_as("g/day") == pytest.approx(carried.feed.best.m)


def test_salt_halves_the_surface_and_costs_oxygen():
    fresh, sea = (what_it_carries(FilterSystem(salinity=s)) for s in (0, 35))
    ratio = fresh.surface.best / sea.surface.best
    assert ratio.m == pytest.approx(2.0, abs=0.05)
    assert sea.tank_oxygen.best < fresh.tank_oxygen.best


def test_balance_of_the_surface_limit():
    system = FilterSystem(rock_mass=Q(10, "kg"), temperature=Q(25, "degC"))
    plain = system.bare
    carried = what_it_carries(system)
    made = ammonia_production(carried.surface.best, parameter("food_protein").bare).m_as("kg/s")
    by_filter, by_rock, _ = c.nitrified(plain, best(), 0.7 * 8.2635e-3)
    assert made == pytest.approx(by_filter + by_rock, rel=1e-4)
    assert by_rock > 0.0


def test_nitrate_only_where_claimed():
    assert what_it_carries(FilterSystem()).nitrate is None
    claimed = what_it_carries(FilterSystem(anoxic_volume=Q(2, "L"))).nitrate
    assert isinstance(claimed, Span)
    # Nobody knows: the span goes over two powers of ten.
    assert claimed.high / claimed.low > 100
    hungry = what_it_carries(FilterSystem(anoxic_volume=Q(2, "L"), carbon=Q(0, "g/day")))
    assert hungry.nitrate.high.m == 0.0
    assert hungry.feed == what_it_carries(FilterSystem()).feed


def test_flow_share_is_the_elasticity():
    plain = FilterSystem(media_mass=Q(5, "kg"), flow=Q(10, "L/h")).bare
    _, _, share = c.nitrified(plain, best(), 5e-3)
    more = c.nitrified(plain._replace(flow=1.001 * plain.flow), best(), 5e-3)[0]
    once = c.nitrified(plain, best(), 5e-3)[0]
    assert share == pytest.approx(np.log(more / once) / np.log(1.001), rel=2e-3)
    assert 0.0 < share < 1.0


@pytest.mark.parametrize("bad", [None, 5, "filter", {}])
def test_other_things_are_refused(bad):
    with pytest.raises(ValidityError, match="system"):
        what_it_carries(bad)
