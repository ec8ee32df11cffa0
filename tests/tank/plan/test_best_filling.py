"""The best filling: no filling that was tried carries more, and the plan names it as a change."""

import pytest
from plan_systems import as_it_was_bought, tried

from aqualib.tank.plan import best_filling, best_stack, example_system, filled, gains, outcome
from aqualib.tank.plan.changes import held_in
from aqualib.tank.plan.other_trays import in_order
from aqualib.tank.plan.parts import MOST_TRAYS, SETTLING
from aqualib.tank.plan.trays import Place
from aqualib.tank.plan.what_it_does import outcomes

BOUGHT, _ = filled(as_it_was_bought())


def ordered(whole):
    return whole.with_trays(in_order(whole.places))


def test_the_best_stack_fits_the_trays_and_beats_what_can_be_done_by_order():
    best = best_stack(BOUGHT)
    heights = sorted(place.height for place in best.whole.places)
    assert heights == sorted(place.height for place in BOUGHT.places)
    assert best.whole.media
    assert best.does.carried.feed.best > outcome(ordered(BOUGHT)).carried.feed.best
    assert best.does.media_mass > BOUGHT.places[3].media
    # One more of anything in the place of one stage carries no more.
    for at in range(len(heights) - 1):
        for holds in (SETTLING, "coarse pad", "medium pad", "fine pad"):
            places = list(best.whole.places)
            places[at] = Place(holds, places[at].height, 0.0)
            if sum(place.holds == SETTLING for place in places) <= 1:
                other = ordered(best.whole.with_trays(places))
                assert outcome(other).carried.feed.best <= 1.005 * best.does.carried.feed.best


def test_fillings_followed_together_come_to_what_each_alone_does():
    every = list(best_filling._fillings(BOUGHT))
    together = outcomes(every)
    assert len(together) == len(every) == best_stack(BOUGHT).tried
    for one in every[::5]:
        alone = outcome(one)
        assert together[one].carried.feed.best == pytest.approx(alone.carried.feed.best, rel=1e-9)
        assert together[one].due == pytest.approx(alone.due, rel=1e-9)
        assert together[one].first_due == alone.first_due
    most = max(does.carried.feed.best for does in together.values())
    assert best_stack(BOUGHT).does.carried.feed.best >= 0.995 * most


def test_the_search_stays_short_however_many_trays_there_are():
    many = BOUGHT._replace(
        places=tuple(Place("porous rings", 0.03, 0.5) for _ in range(MOST_TRAYS))
    )
    found = best_stack(many)
    assert found.tried <= 54


def test_a_filter_of_one_tray_still_gets_an_answer():
    one = BOUGHT._replace(places=(Place("porous rings", 0.1, 1.0),))
    assert best_stack(one).tried >= 1


def test_the_plan_names_the_best_filling_as_a_change_and_only_where_it_is_another():
    before, changes = tried(as_it_was_bought())
    anew = changes["all trays anew"]
    assert anew.whole == best_stack(BOUGHT).whole
    assert "carbon kept" in anew.words
    assert "one tray a week" in anew.words
    inside = [changes[name] for name in ("order", "settle", "fill the trays")]
    most = max(gains(before, change.after).food for change in inside)
    assert gains(before, anew.after).food > most
    assert "all trays anew" not in tried(example_system())[1]
    rings = Place("porous rings", 0.1, 1.0)
    coarse = Place("coarse pad", 0.1, 0.0)
    two = BOUGHT._replace(places=(coarse, rings, rings))
    assert held_in(two) == "coarse pad, 2 trays of porous rings"
