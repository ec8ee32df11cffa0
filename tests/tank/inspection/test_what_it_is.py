"""What a piece is: by its weighings, its fizz, its pour; worked by hand."""

import pytest

from aqualib.filtration.media import media_kinds, sphere_area
from aqualib.tank.inspection.observed import SHAPES, Piece
from aqualib.tank.inspection.what_it_is import litres_of, recognised
from aqualib.tank.plan.parts import CARBON
from aqualib.units import Q
from aqualib.validity import ValidityError

LOOKS = {shape: looks for looks, shape in SHAPES.items()}


def weighed_as(kind):
    """The three weighings of 250 g of a kind whose pores are as in the table."""
    pores, closed = kind.bare("inner_porosity"), kind.bare("closed_share")
    solid = kind.bare("skeletal_density")
    piece = solid * (1.0 - pores)
    outer = 250.0 / piece * 998.2
    water = pores * (1.0 - closed) * outer
    return {
        "handful": Q(250, "g"),
        "saturated": Q(250 + water, "g"),
        "suspended": Q(250 + water - outer, "g"),
    }


KINDS = [kind for kind in media_kinds().values() if kind.shape in {"ring", "ball", "broken"}]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_each_kind_is_known_by_its_weighings(kind):
    fizz = "fizz" if kind.name == "coral rubble" else "no fizz"
    found = recognised(Piece("it", LOOKS[kind.shape], **weighed_as(kind), vinegar=fizz))
    assert found.holds == kind.name
    assert found.is_carbonate == (fizz == "fizz")


def test_surface_of_balls_by_hand():
    """Balls of 15 mm and 1250 kg/m³: 6 / (d B) = 0.32 m² a kilogram; the jug makes it litres."""
    balls = {"handful": Q(250, "g"), "suspended": Q(150, "g"), "saturated": Q(350, "g")}
    found = recognised(Piece("balls", "balls", dry=Q(1.5, "kg"), litres=Q(2, "L"),
                             size=Q(15, "mm"), **balls))  # fmt: skip
    assert found.area.best == pytest.approx(6.0 / (0.015 * 1250.0), rel=0.01)
    assert found.density == pytest.approx(750.0)
    assert found.area_per_litre == pytest.approx(0.75 * found.area.best)
    piece = Q(15, "mm")
    assert sphere_area(piece).m_as("m**2/m**3") == pytest.approx(400.0)


def test_pads_carbon_and_what_was_not_tested():
    fine = Piece("pad", "sheet", flour="nearly all", squeeze="stays flat")
    assert recognised(fine).holds == "fine pad"
    assert recognised(fine).is_worn
    assert recognised(Piece("bag", "black grains")).holds == CARBON
    assert "by its looks alone" in recognised(Piece("pad", "sheet")).words
    assert "by its looks alone" in recognised(Piece("rings", "rings")).words


def test_black_grains_are_carbon_if_they_mark_a_cloth_and_else_stone():
    found = {
        cloth: recognised(Piece("bag", "black grains", cloth=cloth))
        for cloth in ("black marks", "not looked", "no marks")
    }
    assert [f.holds for f in found.values()] == [CARBON, CARBON, "lava rock"]
    assert "mark a white cloth" in found["black marks"].words
    assert "rub it" in found["not looked"].words, "what was not looked at is not asserted"
    assert Piece("bag", "black grains").cloth == "not looked"
    assert found["no marks"].area.best > 0.0


def test_grains_are_told_by_looks_or_by_their_bag_and_else_stay_out():
    def holds(looks, **more):
        return recognised(Piece("bag", looks, **more)).holds

    assert holds("tiny beads") == "ion-exchange resin"
    assert holds("rust-brown grains") == "phosphate remover"
    assert holds("pale grains", meant_for="phosphate") == "phosphate remover"
    assert holds("pale grains", meant_for="ammonia") == "zeolite"
    with pytest.raises(ValidityError, match="leave it out of the filter"):
        holds("pale grains")
    floss = recognised(Piece("wad", "floss", flour="about half"))
    assert floss.holds == "polishing floss"
    assert floss.cut.best > 0.0


def test_litres_come_from_the_jug_then_the_scale_then_the_tray():
    found = recognised(Piece("rings", "rings"))
    by = {
        "jug": Piece("r", "rings", litres=Q(3, "L"), dry=Q(1, "kg")),
        "scale": Piece("r", "rings", dry=Q(1, "kg")),
        "tray": Piece("r", "rings"),
    }
    litres = {name: litres_of(piece, found, 0.04, 0.1) for name, piece in by.items()}
    assert litres["jug"] == pytest.approx(3e-3)
    assert litres["scale"] == pytest.approx(1.0 / found.density)
    assert litres["tray"] == pytest.approx(4e-3)


def test_rings_that_fizz_are_still_rings():
    found = recognised(Piece("rings", "rings", vinegar="fizz"))
    assert found.holds == "porous rings"
    assert found.is_carbonate
