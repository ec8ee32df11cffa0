"""Which measurement would shrink the doubt most."""

import math

import pytest
from plan_systems import nano

from aqualib.parameters import parameter
from aqualib.tank.plan import Tray, Unknown, example_system, filled, outcome, widest_unknowns
from aqualib.tank.plan.doubts import GUESSED_FOOD
from aqualib.units import Q


def of(system, count=20):
    whole, _ = filled(system)
    now = outcome(whole)
    return whole, now, {one.name: one for one in widest_unknowns(system, whole, now, count)}


def test_the_widest_stands_first_and_three_are_enough():
    whole, now, found = of(example_system())
    widths = [one.width for one in found.values()]
    assert widths == sorted(widths, reverse=True)
    assert widest_unknowns(example_system(), whole, now) == tuple(found.values())[:3]


def test_what_was_measured_is_no_longer_unknown():
    told = example_system().changed("pump", measured_flow=Q(700, "L/h"))
    assert "flow" not in of(told)[2]
    for name in ("food", "temperature", "protein", "tap nitrate", "change"):
        assert name not in of(example_system())[2]
    open_ = example_system().changed("stock", food=None, protein=None)
    assert {"food", "protein"} <= set(of(open_)[2])


def test_food_that_nobody_weighed_may_be_half_or_double():
    system = example_system().changed("stock", food=None)
    whole, now, found = of(system)
    margin = now.carried.feed.best / whole.feed
    assert (found["food"].low, found["food"].high) == pytest.approx(
        (margin / GUESSED_FOOD, margin * GUESSED_FOOD)
    )


def test_protein_alone_moves_the_food_in_inverse_proportion_while_ammonia_limits():
    system = example_system().changed("stock", protein=None)
    _, now, found = of(system)
    assert now.carried.limiting == "surface"
    row = parameter("food_protein")
    assert found["protein"].low / (now.carried.feed.best / filled(system)[0].feed) == pytest.approx(
        row.value / row.high
    )


def test_where_dirt_limits_neither_surface_nor_protein_is_worth_measuring():
    whole, now, found = of(nano())
    assert now.carried.limiting == "dirt"
    assert "surface" not in found
    assert found["dirt"].width > 1
    assert whole.feed > 0


def test_width_is_the_log_of_the_ratio():
    assert Unknown("a", "b", "01", "food", 1.0, math.e).width == pytest.approx(1)
    assert Unknown("a", "b", "01", "food", 0.0, 1.0).width == math.inf
    assert Unknown("a", "b", "01", "food", 0.0, 0.0).width == 0


def test_without_food_there_is_no_margin_to_doubt():
    _, _, found = of(example_system().changed("stock", food=Q(0, "g/day"), solids=None))
    assert {one.of for one in found.values()} <= {"nitrate"}


def test_air_that_nobody_judged_moves_what_it_limits():
    """By hand: where the air limits, three times as much of it carries three times the food."""
    system = nano().changed("tank", air=None).changed("stock", food=Q(40, "g/day"), fish=None)
    roomy = system.changed("filter", trays=(Tray("coarse pad", Q(1, "m")),) * 3)
    roomy = roomy.changed("care", clean_every=Q(1, "day"))
    whole, now, found = of(roomy)
    assert now.carried.limiting == "tank_oxygen"
    assert found["air"].low == pytest.approx(now.carried.feed.best / whole.feed / 3, rel=0.01)
    assert "air" not in of(system.changed("tank", air=Q(2, "1/h")))[2]
