"""What lesson 13 says in words of the invented filter: true of its numbers as they are."""

import json
from pathlib import Path

import pytest

from aqualib.filtration.capture import pad
from aqualib.lesson.tank_sheet import of_row
from aqualib.parameters import parameter
from aqualib.tank.inspection import (
    Piece,
    as_bought,
    cut_from_powders,
    judge,
    put_in_order,
    remembered_outcome,
)
from aqualib.tank.plan import best_stack, example_system, filled
from aqualib.tank.plan.trays import Place, fitting_mass
from aqualib.units import Q

BOUGHT, _ = filled(as_bought())
BEST = best_stack(BOUGHT).whole
LESSON = Path(__file__).parents[2] / "lessons" / "13-open-the-filter.ipynb"
RINGS = BOUGHT.places[-1]


def food(whole):
    return float(remembered_outcome(whole).carried.feed.best)


def test_the_box_stands_on_our_tank():
    ours, _ = filled(example_system())
    for name in ("volume", "temperature", "ph", "feed", "solids", "change", "rated_flow", "bore"):
        assert getattr(BOUGHT, name) == getattr(ours, name)
    assert of_row("tank_feed").m_as("g/day") == pytest.approx(3.5)


def test_a_doubt_of_twofold_to_fourfold_in_the_cut_sizes():
    white = cut_from_powders(dict.fromkeys(("flour", "semolina", "poppy"), "nearly all"), 0.045)
    blue = cut_from_powders({"flour": "hardly any", "semolina": "nearly all"}, 0.045)
    for cut in (white, blue):
        assert all(2.0 < ratio < 4.0 for ratio in (cut.best / cut.low, cut.high / cut.best))
    assert white.high < blue.low


def test_the_white_pad_does_harm_where_it_stands_and_more_rings_gain_nothing():
    white = judge(Piece("white", "sheet", flour="nearly all", tray=1), BOUGHT)
    assert white.without.carried.feed.best > white.now.carried.feed.best
    full = fitting_mass(RINGS.holds, BOUGHT.floor * RINGS.height)
    assert full / RINGS.media == pytest.approx(4.0, abs=0.2)
    more = BOUGHT._replace(places=(*BOUGHT.places[:-1], RINGS._replace(media=full)))
    assert food(more) == pytest.approx(food(BOUGHT), rel=0.01)
    assert remembered_outcome(BOUGHT).carried.limiting == "dirt"
    assert remembered_outcome(BOUGHT).due < 7.5 * 86400  # "full on its face within a week"


def test_order_gives_nearly_half_of_the_gain():
    gained = (food(put_in_order(BOUGHT)) - food(BOUGHT)) / (food(BEST) - food(BOUGHT))
    assert 0.35 < gained < 0.5


def test_three_lines_did_not_get_better():
    before, after = remembered_outcome(BOUGHT), remembered_outcome(BEST)
    assert not BEST.holding("fine pad")
    assert after.suspended > before.suspended
    assert after.flow_due == pytest.approx(before.flow_due, rel=0.01)
    assert after.nitrate_peak == before.nitrate_peak


def test_rubble_goes_in_fresh_water_and_stays_in_the_sea():
    rubble = Piece("rubble", "broken pieces", dry=Q(1, "kg"), vinegar="fizz", tray=4)
    assert judge(rubble, BEST).word == "replace"
    assert judge(rubble, BEST._replace(salinity=35.0, ph=8.2)).word in {"keep", "add"}


def test_the_sums_alone_would_put_foam_there_too():
    foam = BEST._replace(places=(*BEST.places[:-1], Place("fine pad", RINGS.height, 0.0)))
    assert food(foam) > food(BEST)


def test_the_face_of_a_fine_pad_holds_less_than_a_weeks_dirt():
    """The exercise says 5 mm, 0.97, a half and 40 g in words."""
    rows = ("pad_working_face", "pad_voidage", "pad_deposit_limit", "fine_pad_deposit_density")
    assert [parameter(row).value for row in rows] == [5, 0.97, 0.5, 40]
    face = pad("fine", Q(600, "cm**2"), Q(45, "mm")).capacity
    assert face < 7 * 86400 * BOUGHT.solids


def test_bleach_the_plug_and_live_media_stand_among_the_cautions():
    cells = json.loads(LESSON.read_text(encoding="utf-8"))["cells"]
    text = next(t for t in ("".join(c["source"]) for c in cells) if t.startswith("## Cautions"))
    for word in ("plugs", "lamp", "Glass", "pressure", "bleach", "Never test in the tank", "wet"):
        assert word in text
