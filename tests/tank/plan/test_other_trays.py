"""The changes inside a filter: each does what it says, and is offered where it can be made."""

import pytest
from plan_systems import as_it_was_bought, nano, tried

from aqualib.tank.plan import Tray, example_system, filled, gains
from aqualib.tank.plan.other_trays import in_order
from aqualib.tank.plan.trays import Place
from aqualib.units import Q

BOUGHT, AFTER = tried(as_it_was_bought())


def test_each_change_of_a_tray_changes_what_it_says():
    whole, _ = filled(as_it_was_bought())
    kilograms = sum(place.media for place in whole.media)
    assert not AFTER["media for the carbon"].whole.holding("carbon")
    assert AFTER["media for the carbon"].after.media_mass > kilograms
    assert AFTER["settle"].whole.places[0].holds == "settling space"
    assert len(AFTER["a pad in the empty tray"].whole.holding("coarse pad")) == 2
    assert AFTER["media in the empty tray"].after.media_area > BOUGHT.media_area
    assert AFTER["fill the trays"].after.media_mass > kilograms


def test_where_dirt_limits_media_gain_nothing_and_room_for_dirt_does():
    assert BOUGHT.carried.limiting == "dirt"
    assert gains(BOUGHT, AFTER["media in the empty tray"].after).food == 0
    assert gains(BOUGHT, AFTER["a pad in the empty tray"].after).food > 0.2
    # Half the days, twice the food, until something else limits.
    oftener = AFTER["clean twice as often"].after.carried
    assert oftener.dirt.best == pytest.approx(2 * BOUGHT.carried.dirt.best)


def test_the_only_pads_are_not_worth_their_place_in_media():
    _, changes = tried(nano().changed("pump", measured_flow=None))
    assert "media for the fine pad" not in changes
    _, of_example = tried(example_system())
    assert "order" not in of_example, "the example's trays are in order"


def test_the_order_of_the_trade():
    held = ["pumice", "fine pad", "nothing", "carbon", "settling space", "coarse pad"]
    ordered = in_order(tuple(Place(h, 0.05, 0.0) for h in held))
    assert [place.holds for place in ordered] == [
        "settling space", "coarse pad", "fine pad", "carbon", "pumice", "nothing"]  # fmt: skip


def test_putting_the_trays_in_order_gives_days_and_room_for_dirt():
    settle, coarse, medium, fine, rings = example_system().filter.trays
    turned = example_system().changed("filter", trays=(fine, medium, coarse, settle, rings))
    before, changes = tried(turned)
    found = gains(before, changes["order"].after)
    assert found.days > 1
    # A fine pad in front is full while the others are empty: the filter as a whole holds less.
    assert before.carried.limiting == "dirt"
    assert found.food > 1
    assert changes["order"].after.media_area == before.media_area


def test_a_filter_without_a_pad_is_offered_one():
    bare = example_system().changed("filter", trays=(Tray("carbon", Q(20, "cm")),))
    before, changes = tried(bare)
    pad = changes["a pad first"]
    assert pad.after.carried.feed.best > before.carried.feed.best
    assert (pad.whole.carbon, pad.whole.places[0].holds) == (0.0, "coarse pad")


def test_settling_where_the_carbon_was_and_the_rest_in_order():
    _, changes = tried(as_it_was_bought())
    held = [place.holds for place in changes["settle for the carbon"].whole.places]
    assert held[0] == "settling space"
    assert "carbon" not in held
    assert (
        gains(BOUGHT, changes["settle for the carbon"].after).food
        > gains(BOUGHT, changes["order"].after).food
    )
