"""Phosphorus: what the fish do not keep comes into the water."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.parameters import parameter
from aqualib.tank.load.wastes import phosphorus_production
from aqualib.units import Q


@given(st.floats(0, 1e4), st.floats(0, 0.1), st.floats(0, 1))
def test_kept_and_lost_add_up(feed, share, kept):
    lost = phosphorus_production(Q(feed, "g/day"), share, kept).phosphorus.m
    rest = phosphorus_production(Q(feed, "g/day"), share, 1 - kept).phosphorus.m
    assert lost + rest == pytest.approx(feed * share, abs=1e-9)


def test_phosphate_holds_oxygen_as_well():
    load = phosphorus_production(Q(10, "g/day"))
    assert (load.phosphate / load.phosphorus).m_as("") == pytest.approx(94.970 / 30.974)


def test_rows_and_their_ends():
    share, kept = parameter("feed_phosphorus"), parameter("phosphorus_retained")
    best = phosphorus_production(Q(1, "kg/day")).phosphorus.m
    least = phosphorus_production(Q(1, "kg/day"), share.low / 100, kept.high / 100).phosphorus.m
    most = phosphorus_production(Q(1, "kg/day"), share.high / 100, kept.low / 100).phosphorus.m
    assert (least, best, most) == pytest.approx((2.013, 7.93, 17.0))


def test_shares_in_percent_are_shares_too():
    plain = phosphorus_production(Q(1, "g/day"), 0.013, 0.39).phosphorus.m
    percent = phosphorus_production(Q(1, "g/day"), Q(1.3, "percent"), Q(39, "percent"))
    assert percent.phosphorus.m == pytest.approx(plain)
