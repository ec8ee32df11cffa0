"""What to mind of a piece that works until it is full, in fresh water and in the sea."""

from aqualib.tank.inspection import Piece, as_bought, judge
from aqualib.tank.plan import filled

BOUGHT, _ = filled(as_bought())
SEA = BOUGHT._replace(salinity=35.0, ph=8.2)
ZEOLITE = Piece("bag", "pale grains", meant_for="ammonia", tray=2)


def test_floss_is_thrown_away_and_counts_as_a_pad():
    """Alone in front it is the first thing due; it may not go while it is the only pad."""
    wad = judge(Piece("wad", "floss", squeeze="stays flat", tray=1), BOUGHT)
    assert (wad.found.holds, wad.word) == ("polishing floss", "move")
    assert "thrown away when it is full" in wad.mind
    assert not wad.found.is_worn, "wadding never springs back"
    only = BOUGHT.with_trays((BOUGHT.places[0]._replace(holds="polishing floss"), BOUGHT.places[3]))
    stays = judge(Piece("wad", "floss"), only)
    assert stays.whole.holding("polishing floss")


def test_zeolite_goes_out_slowly_in_fresh_water_and_at_once_in_salt():
    fresh, salted = judge(ZEOLITE, BOUGHT), judge(ZEOLITE, SEA)
    assert fresh.word == salted.word == "replace"
    assert fresh.do.endswith("a part a week, with a test of ammonia every day")
    assert "does not ripen" in fresh.mind
    assert salted.do.startswith("Test ammonia now. Take it out")
    assert "gives its ammonia back" in salted.why
    assert "a part a week" not in str(salted)
    assert judge(ZEOLITE, BOUGHT._replace(salinity=3.0)).do == salted.do


def test_resin_and_phosphate_remover_say_what_they_take_and_when_they_are_spent():
    for looks, word in (("tiny beads", "nitrate, hardness"), ("rust-brown grains", "phosphate")):
        said = judge(Piece("bag", looks, tray=2), SEA)
        assert word in said.mind
        assert "It is spent when" in said.mind
        assert "In salt water:" in said.mind
        assert "Who says so" in said.mind
    assert judge(Piece("rings", "rings"), BOUGHT).mind == ""
