"""A tank of sour water (pH 5 to 6.5) or hot (30 to 34 °C): served as typed, and never flattered."""

import json
from datetime import date
from itertools import pairwise

import numpy as np
import pytest

from aqualib.parameters import parameter
from aqualib.tank.plan import (
    as_table,
    example_system,
    filled,
    from_table,
    make_plan,
    outcome,
)
from aqualib.tank.plan.what_it_does import no_hotter
from aqualib.tank.sizing import FilterSystem, what_it_carries
from aqualib.units import Q, set_units

ENDS = ("low", "best", "high")


def system(ph, celsius):
    return example_system().changed("water", ph=ph, temperature=Q(celsius, "degC"))


def carried(ph, celsius):
    return np.array(outcome(filled(system(ph, celsius))[0]).carried.feed) * 86400e3


def test_what_was_typed_stands_as_it_was_typed():
    own = system(5.6, 33.5)
    again = from_table(json.loads(json.dumps(as_table(own))))
    assert again == own
    plan = make_plan(again, date(2030, 3, 2), doubt=False, changes=False)
    assert (plan.whole.ph, plan.whole.temperature) == pytest.approx((5.6, 306.65))
    assert not {one.place for one in plan.assumed} & {"water.ph", "water.temperature"}
    # What counts for the dirt is no hotter than 30; the plan keeps the water as it is.
    assert no_hotter(plan.whole).temperature == pytest.approx(303.15)


def test_sourer_water_carries_less_and_nothing_jumps():
    """By hand at pH 6: half a unit takes 6.5 % of the film's work, which is what limits here."""
    at = {ph: carried(ph, 24.5) for ph in (7.6, 6.5, 6.499, 6.25, 6.0, 5.5, 5.0)}
    assert at[7.6] == pytest.approx(at[6.5], rel=1e-12)
    assert at[6.499] == pytest.approx(at[6.5], rel=1e-3)
    for more, less in pairwise(at.values()):
        assert np.all(less <= more * (1.0 + 1e-12))
    # A film short of ammonia loses less than its bacteria do: the way in is as it was.
    assert 0.935 < at[6.0][1] / at[6.5][1] < 0.97
    # The doubt is wide: the low end falls faster than the best.
    assert at[6.0][0] / at[6.5][0] < at[6.0][1] / at[6.5][1]
    assert at[5.0][0] < 0.6 * at[6.5][0]


def test_hot_water_carries_no_more_than_at_30_degrees():
    at = [carried(7.0, celsius) for celsius in (30, 30.001, 31, 32.5, 34)]
    assert at[1] == pytest.approx(at[0], rel=1e-4)
    assert all(np.all(hot <= at[0] * (1.0 + 1e-12)) for hot in at)


@pytest.mark.parametrize("limit", ["tank_oxygen", "dirt", "surface"])
def test_no_part_gains_from_heat(limit):
    """Not even the air, whose law alone would let a hot tank's surface feed more fish."""
    short = {
        "tank_oxygen": {"surface_exchange": Q(0.05, "1/h")},
        "dirt": {"dirt_held": Q(2, "g")},
        "surface": {"media_mass": Q(0.2, "kg"), "pad_area": Q(0, "m**2")},
    }[limit]
    found = [what_it_carries(FilterSystem(**short, temperature=Q(t, "degC"))) for t in (30, 31, 34)]
    assert {one.limiting for one in found} == {limit}
    for end in ENDS:
        feeds = [getattr(one.feed, end).m for one in found]
        assert all(hot <= feeds[0] * (1.0 + 1e-12) for hot in feeds)


def test_a_new_filter_ripens_no_sooner_in_sour_water_or_hot():
    def ready(ph, celsius):
        return make_plan(system(ph, celsius), doubt=False, changes=False).ready_day

    assert ready(6.0, 24.5) > ready(6.499, 24.5) == pytest.approx(ready(6.5, 24.5), rel=1e-3)
    assert ready(7.0, 30) <= ready(7.0, 31) <= ready(7.0, 34)
    assert ready(7.0, 30.01) == pytest.approx(ready(7.0, 30), rel=1e-3)


def test_the_unit_set_changes_nothing():
    def numbers():
        plan = make_plan(system(5.8, 32), date(2030, 3, 2), doubt=False, changes=False)
        return plan.now.carried.feed, plan.first_weeks.ammonia_line

    metric = numbers()
    try:
        set_units("us")
        assert numbers() == metric
    finally:
        set_units("metric")


def test_the_best_piece_of_the_doubt_is_the_row():
    """With a loss of its high end no film works at pH 5.5 (Forster 1974)."""
    assert parameter("film_acid_loss").high * (6.5 - 5.5) == 1.0
