"""Verdicts: each is what running the whole system again says, whatever units are shown."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from aqualib.tank.inspection.keep_or_not import KEEP, WORDS, in_kg_and_lb, judge
from aqualib.tank.inspection.observed import Piece
from aqualib.tank.inspection.stacking import as_bought, put_in_order
from aqualib.tank.plan import best_stack, example_system, filled, outcome
from aqualib.tank.plan.parts import NOTHING
from aqualib.tank.plan.trays import Place
from aqualib.tank.plan.what_it_buys import gains
from aqualib.units import UNIT_SETS, Q, set_units
from aqualib.validity import ValidityError

BOUGHT, _ = filled(as_bought())
FINE = Piece(
    "white pad", "sheet", thickness=Q(4.5, "cm"), flour="nearly all", semolina="nearly all"
)
COARSE = Piece("blue pad", "sheet", flour="hardly any", semolina="nearly all")
BLACK = Piece("black bag", "black grains", dry=Q(250, "g"), litres=Q(0.6, "L"))
RINGS = Piece("rings", "rings", dry=Q(0.6, "kg"))
RUBBLE = Piece("rubble", "broken pieces", dry=Q(1, "kg"), vinegar="fizz", tray=4)


@pytest.mark.parametrize(
    ("piece", "word"), [(FINE, "move"), (COARSE, "move"), (BLACK, "replace"), (RINGS, "keep")]
)
def test_the_filter_as_bought_is_judged_by_its_own_sums(piece, word):
    verdict = judge(piece, as_bought())
    assert verdict.word == word
    assert verdict.now == outcome(BOUGHT)
    assert verdict.after == outcome(verdict.whole)
    found = gains(verdict.now, verdict.after)
    assert (found.food > 0 and found.days > 0) == (word != KEEP)
    at = next(n for n, p in enumerate(BOUGHT.places) if p.holds == verdict.found.holds)
    gone = list(BOUGHT.places)
    gone[at] = Place(NOTHING, gone[at].height, 0.0)
    assert verdict.without == outcome(BOUGHT._replace(places=tuple(gone)))


def test_the_same_rings_are_worth_more_once_the_dirt_is_dealt_with():
    """A tray of 12 cm takes 2.44 kg, by hand 543 cm² x 12 cm x 450 kg/m³; 0.6 are there."""
    full = judge(RINGS, best_stack(BOUGHT).whole)
    assert judge(RINGS, put_in_order(BOUGHT)).word == "keep"
    assert full.word == "add"
    assert full.whole.places[-1].media == pytest.approx(2.44, abs=0.01)
    assert "1.84 kg = 4.06 lb" in full.do


def test_carbonate_goes_by_the_water_and_a_flat_pad_goes_anyway():
    marine, _ = filled(example_system(marine=True))
    sea = BOUGHT._replace(salinity=marine.salinity, ph=marine.ph)
    assert judge(RUBBLE, BOUGHT).word == "replace"
    assert "5.3 mg/L as CaCO3" in judge(RUBBLE, BOUGHT).why  # 1 g in 190 L
    assert judge(RUBBLE, sea).word != "replace"
    assert judge(RUBBLE, BOUGHT._replace(ph=8.3)).word != "replace"
    flat = Piece("pad", "sheet", flour="nearly all", squeeze="stays flat")
    assert judge(flat, BOUGHT).word == "replace"


@pytest.mark.parametrize("piece", [FINE, BLACK, RUBBLE], ids=lambda piece: piece.name)
def test_units_change_words_and_never_a_verdict(piece):
    found = []
    for system in UNIT_SETS:
        set_units(system)
        try:
            found.append(judge(piece, BOUGHT))
        finally:
            set_units("metric")
    assert len({(v.word, v.after.due, v.volume, v.mass) for v in found}) == 1


@settings(max_examples=12)
@given(st.floats(0.05, 1.6), st.floats(1.01, 1.5), st.sampled_from([BOUGHT, put_in_order(BOUGHT)]))
def test_more_of_a_piece_never_lowers_the_surface(mass, more, whole):
    some, rather = (
        judge(Piece("rings", "rings", dry=Q(kg, "kg")), whole) for kg in (mass, mass * more)
    )
    assert rather.now.media_area > some.now.media_area > 0.0
    assert some.word in WORDS
    assert gains(some.now, some.after)[0] >= 0.0


def test_what_stands_nowhere_is_refused():
    with pytest.raises(ValidityError, match="stands in no tray"):
        judge(Piece("clay", "balls"), BOUGHT)
    with pytest.raises(ValidityError, match="1 to 4"):
        judge(Piece("clay", "balls", tray=5), BOUGHT)


def test_a_verdict_says_what_to_do_and_why():
    first, second = str(judge(FINE, BOUGHT)).splitlines()
    assert first == "white pad (fine pad, 2.0 L): MOVE. Move it to place 3, behind the coarse pad."
    assert "0.64 g/day → 1.6 g/day" in second
    assert "Without it: 0.93 g/day" in second


def test_a_mass_stands_in_both_units():
    assert in_kg_and_lb(1.8) == "1.80 kg = 3.97 lb"


def test_what_does_not_fit_is_not_counted_and_a_slip_of_units_is_asked_about():
    """A tray of 12 cm takes 2.44 kg of rings: of 3 kg, 0.56 stay over."""
    much, full = (judge(Piece("rings", "rings", dry=Q(kg, "kg")), BOUGHT) for kg in (3, 2.44))
    assert much.over == pytest.approx(0.56, abs=0.01)
    assert much.now.carried.feed.best == pytest.approx(full.now.carried.feed.best, rel=0.01)
    assert "lb of it do not fit its tray" in str(much)
    assert "do not fit" not in str(full)
    with pytest.raises(ValidityError, match="is it in grams"):
        judge(Piece("rings", "rings", dry=Q(250, "kg")), BOUGHT)
    with pytest.raises(ValidityError, match="does not go with its litres"):
        judge(Piece("rings", "rings", dry=Q(600, "g"), litres=Q(13.3, "L")), BOUGHT)


def test_media_go_behind_the_pads_and_the_only_pad_stays():
    places = (Place("coarse pad", 0.04, 0.0), Place("porous rings", 0.2, 4.0))
    whole = BOUGHT._replace(places=places)
    pad, rings = Piece("pad", "sheet", flour="hardly any"), Piece("rings", "rings", dry=Q(4, "kg"))
    for piece in (pad, rings):
        assert judge(piece, whole).word in {"keep", "add"}
    sea, _ = filled(example_system(marine=True))
    for base in (BOUGHT, sea):
        one = judge(pad, base._replace(places=places))
        assert one.whole.holding("coarse pad")
        assert [p.holds for p in one.whole.places].index("coarse pad") == 0


def test_black_grains_that_nobody_rubbed_are_judged_both_ways():
    open_, carbon, stone = (
        judge(Piece("bag", "black grains", cloth=cloth), BOUGHT)
        for cloth in ("not looked", "black marks", "no marks")
    )
    assert (open_.word, open_.after) == (carbon.word, carbon.after)
    assert stone.found.holds == "lava rock"
    assert stone.now.media_area > carbon.now.media_area
    assert f"counted as lava rock it is {stone.word.upper()}" in open_.mind
    assert "Nobody looked" not in carbon.mind + stone.mind
