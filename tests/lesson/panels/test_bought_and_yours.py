"""Lesson 13's panel: its numbers are those of the whole system run again."""

import math

import pytest

from aqualib.lesson.panels.bought_and_yours import ADVICE, CHOICES, bought, stack_panel
from aqualib.tank.inspection import as_bought
from aqualib.tank.plan import best_stack, filled, outcome
from aqualib.tank.plan.parts import HOLDS
from aqualib.tank.sizing import LIMITS

BEST = {"tray_1": "settling space", "tray_2": "coarse pad", "tray_3": "medium pad", "media": 6.0}


@pytest.fixture
def panel():
    made = stack_panel()
    yield made
    made.close()


def grams(outcome_):
    return float(outcome_.carried.feed.best) * 8.64e7


def test_it_opens_on_the_filter_as_bought(panel):
    panel.replay()
    whole, _ = filled(as_bought())
    assert panel.result.yours == panel.result.bought == whole
    assert panel.result.carried == pytest.approx(grams(outcome(whole)))
    assert all(line.each[0] == line.each[1] for line in panel.result.lines)


def test_rings_beyond_what_fits_stay_out_and_the_best_stack_is_in_reach(panel):
    panel.replay(**BEST)
    best = best_stack(bought())
    assert panel.result.yours.places == best.whole.places
    assert panel.result.carried == pytest.approx(grams(best.does))


@pytest.mark.parametrize("changed", [{"tray_1": "carbon"}, {"tray_4": "nothing"}, BEST])
def test_its_words_are_those_of_the_run(panel, changed):
    headline = panel.replay(**changed)
    does = outcome(panel.result.yours)
    assert LIMITS[does.carried.limiting] in panel.sentence
    assert len(panel.sentence.split()) < 60
    assert ADVICE[does.carried.limiting] in headline
    assert f"{grams(does):.2g} g/day" in headline or "0 g/day" in headline


def test_both_filters_stand_on_the_tank_that_is_set(panel):
    panel.replay(food=2.0, dirt=0.5, width=18)
    box, yours = panel.result.bought, panel.result.yours
    assert box == yours
    assert box.feed * 8.64e7 == pytest.approx(2.0)
    assert box.floor == pytest.approx(0.25 * math.pi * 0.18**2)
    assert panel.result.carried == pytest.approx(grams(outcome(box)))
    # By hand: 254 cm² x 12 cm x 0.45 kg a litre.
    panel.replay(width=18, media=6.0)
    assert panel.result.yours.places[3].media == pytest.approx(1.37, abs=0.02)


def test_no_media_no_carbon_and_no_pad_are_all_answered(panel):
    trays = {f"tray_{at}": "nothing" for at in (1, 2, 3, 4)}
    panel.replay(**trays)
    assert panel.result.carried == 0.0
    assert "nothing is due" in panel.sentence
    assert panel.result.yours.carbon == 0.0


def test_every_choice_may_stand_in_a_tray_and_every_limit_has_its_advice():
    assert set(CHOICES) <= set(HOLDS)
    assert set(ADVICE) == set(LIMITS)
