"""Changes are ranked by running the system again, and say so where nothing is gained."""

from itertools import pairwise

import pytest
from plan_systems import as_it_was_bought, college, nano

from aqualib.lesson.handout.ranked import NOTHING, worth
from aqualib.tank.plan import Tray, example_system, filled, gains, outcome, ranked_changes
from aqualib.tank.plan.changes import BORES, in_order
from aqualib.tank.plan.trays import Place
from aqualib.units import Q


def tried(system):
    whole, _ = filled(system)
    before = outcome(whole)
    return before, {change.name: change for change in ranked_changes(whole, before)}


BOUGHT, AFTER = tried(as_it_was_bought())


@pytest.mark.parametrize("system", [example_system(), nano(), college(), as_it_was_bought()],
                         ids=lambda system: system.name)  # fmt: skip
def test_what_buys_most_stands_first_and_each_was_run(system):
    before, changes = tried(system)
    bought = [gains(before, change.after) for change in changes.values()]
    assert before.verdict != "comfortable" or system.name.startswith("Teaching")
    for first, second in pairwise(bought):
        assert first.steps >= second.steps
        if first.steps == second.steps and before.verdict != "comfortable":
            assert first.margin >= second.margin - 1e-9
    for change in changes.values():
        assert change.after == outcome(change.whole)


def test_each_change_changes_what_it_says():
    whole, _ = filled(as_it_was_bought())
    kilograms = sum(place.media for place in whole.media)
    assert not AFTER["media for the carbon"].whole.holding("carbon")
    assert AFTER["media for the carbon"].after.media_mass > kilograms
    assert AFTER["settle"].whole.places[0].holds == "settling space"
    assert len(AFTER["a pad in the empty tray"].whole.holding("coarse pad")) == 2
    assert AFTER["media in the empty tray"].after.media_area > BOUGHT.media_area
    assert AFTER["fill the trays"].after.media_mass > kilograms
    assert AFTER["a wider hose"].whole.bore > whole.bore
    assert AFTER["a wider hose"].whole.own_bore == whole.own_bore
    assert AFTER["clean twice as often"].whole.clean_every == whole.clean_every / 2
    assert AFTER["feed a quarter less"].whole.feed == pytest.approx(0.75 * whole.feed)
    assert AFTER["change more water"].after.nitrate_peak < BOUGHT.nitrate_peak
    assert AFTER["more air"].after.carried.tank_oxygen.best > BOUGHT.carried.tank_oxygen.best


def test_where_dirt_limits_media_gain_nothing_and_room_for_dirt_does():
    assert BOUGHT.carried.limiting == "dirt"
    assert gains(BOUGHT, AFTER["media in the empty tray"].after).food == 0
    assert gains(BOUGHT, AFTER["a pad in the empty tray"].after).food > 0.2
    # Half the days, twice the food, until something else limits.
    oftener = AFTER["clean twice as often"].after.carried
    assert oftener.dirt.best == pytest.approx(2 * BOUGHT.carried.dirt.best)


def test_the_only_pads_are_not_worth_their_place_in_media():
    before, changes = tried(nano().changed("pump", measured_flow=None))
    assert "media for the fine pad" not in changes
    _, of_example = tried(example_system())
    assert "order" not in of_example, "the example's trays are in order"
    assert gains(before, before) == (0, 0, 0, 0, 0)
    assert not gains(before, before).any


def test_the_order_of_the_trade():
    held = ["pumice", "fine pad", "nothing", "carbon", "settling space", "coarse pad"]
    ordered = in_order(tuple(Place(h, 0.05, 0.0) for h in held))
    assert [place.holds for place in ordered] == [
        "settling space", "coarse pad", "fine pad", "carbon", "pumice", "nothing"]  # fmt: skip


def test_no_wider_hose_than_is_sold_and_none_where_the_flow_was_measured():
    _, changes = tried(example_system().changed("hose", bore=Q(1000 * BORES[-1], "mm")))
    assert "a wider hose" not in changes
    assert "a wider hose" not in tried(nano())[1]


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


def test_an_outlet_beyond_the_pump_is_lowered_and_no_hose_mends_it():
    """Invented: a pump of 1 m under an outlet 1.2 m up, in the lessons' filter."""
    high = example_system().changed("pump", rated_head=Q(1, "m"))
    high = high.changed("hose", lift=Q(1.2, "m"), bore=Q(12, "mm"), length=Q(4, "m"))
    before, changes = tried(high)
    assert before.flow_clean == 0
    lower, shorter = changes["a lower outlet"], changes["a shorter hose"]
    assert next(iter(changes)) == "a lower outlet"
    assert gains(before, lower.after)[0] > 0
    assert (shorter.whole.hose_length, shorter.whole.bore) == (2, 0.016)
    assert shorter.after == before
    assert worth(before, shorter.after) == worth(before, changes["a wider hose"].after) == NOTHING
    # Once it is lowered the hose decides, and both are offered no more where the flow arrives.
    of_lower, then = tried(high.changed("hose", lift=Q(0, "m")))
    assert of_lower == lower.after
    assert "a lower outlet" not in then
    assert then["a shorter hose"].after.flow_clean > then["a wider hose"].after.flow_clean
    assert "a shorter hose" not in tried(example_system())[1]
    assert "a lower outlet" not in tried(high.changed("pump", measured_flow=Q(300, "L/h")))[1]


def test_where_there_is_enough_a_hair_more_of_it_is_not_first():
    """A filter that carries four times its food: what lasts longer or holds nitrate is first."""
    light = example_system().changed("stock", food=Q(0.7, "g/day"), solids=Q(0.2, "g/day"))
    before, changes = tried(light)
    assert before.verdict == "comfortable"
    bought = [gains(before, change.after) for change in changes.values()]
    assert all(first.days >= second.days for first, second in pairwise(bought))


def test_a_better_verdict_goes_before_more_food():
    """Food just above what is carried at best: a quarter less of it makes too much tight."""
    best = outcome(filled(example_system())[0]).carried.feed.high
    food = Q(1.1 * best, "kg/s").to("g/day")
    before, changes = tried(example_system().changed("stock", food=food, fish=None, solids=None))
    assert (before.verdict, next(iter(changes))) == ("too much", "feed a quarter less")
    less = changes["feed a quarter less"].after
    assert gains(before, less).steps == 1
    assert worth(before, less).startswith("too much → tight")


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
