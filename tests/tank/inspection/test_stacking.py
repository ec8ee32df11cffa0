"""Stacks: the order costs nothing, and no filling that was tried carries more than the best."""

from itertools import permutations

import pytest

from aqualib.tank.inspection import stacking
from aqualib.tank.inspection.stacking import as_bought, best_stack, put_in_order
from aqualib.tank.plan import as_json, filled, outcome
from aqualib.tank.plan.parts import MOST_TRAYS, SETTLING
from aqualib.tank.plan.trays import Place

BOUGHT, _ = filled(as_bought())


def test_the_invented_filter_says_that_it_is_and_is_badly_stacked():
    assert "invented" in as_bought().name
    assert as_json(as_bought()).startswith('{\n "format"')
    assert BOUGHT.places[0].holds == "fine pad"
    assert not BOUGHT.holding(SETTLING)


def test_order_keeps_what_is_there_and_lasts_longest_of_all_orders():
    ordered = put_in_order(BOUGHT)
    assert sorted(ordered.places) == sorted(BOUGHT.places)
    dues = [outcome(BOUGHT._replace(places=p)).due for p in permutations(BOUGHT.places)]
    assert outcome(ordered).due == pytest.approx(max(dues), rel=0.01)
    assert max(dues) > 2.0 * outcome(BOUGHT).due


def test_the_best_stack_fits_the_trays_and_beats_what_can_be_done_by_order():
    best = best_stack(BOUGHT)
    heights = sorted(place.height for place in best.whole.places)
    assert heights == sorted(place.height for place in BOUGHT.places)
    assert best.does == outcome(best.whole)
    assert best.whole.media
    assert best.does.carried.feed.best > outcome(put_in_order(BOUGHT)).carried.feed.best
    assert best.does.media_mass > BOUGHT.places[3].media
    # One more of anything in the place of one stage carries no more.
    for at in range(len(heights) - 1):
        for holds in (SETTLING, "coarse pad", "medium pad", "fine pad"):
            places = list(best.whole.places)
            places[at] = Place(holds, places[at].height, 0.0)
            if sum(place.holds == SETTLING for place in places) <= 1:
                other = put_in_order(best.whole._replace(places=tuple(places)))
                assert outcome(other).carried.feed.best <= 1.005 * best.does.carried.feed.best


def test_what_is_left_out_of_the_search_carries_no_more():
    """The search stops where less surface is left; tried to the end it finds the same."""
    short = best_stack(BOUGHT)
    every = [outcome(one).carried.feed.best for one in stacking._fillings(BOUGHT)]
    assert len(every) > short.tried
    assert short.does.carried.feed.best >= 0.995 * max(every)


def test_the_search_stays_short_however_many_trays_there_are():
    many = BOUGHT._replace(
        places=tuple(Place("porous rings", 0.03, 0.5) for _ in range(MOST_TRAYS))
    )
    found = best_stack(many)
    assert found.tried <= 54


def test_a_filter_of_one_tray_still_gets_an_answer():
    one = BOUGHT._replace(places=(Place("porous rings", 0.1, 1.0),))
    assert best_stack(one).tried >= 1
