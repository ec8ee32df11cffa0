"""What was observed of a piece is checked when it is written down."""

import pytest

from aqualib.tank.inspection.observed import Piece
from aqualib.units import Q
from aqualib.validity import ValidityError

WEIGHED = {"handful": Q(250, "g"), "suspended": Q(145, "g"), "saturated": Q(345, "g")}


def test_all_but_the_looks_may_be_missing():
    bare = Piece("pad", "sheet")
    assert not bare.is_weighed
    assert bare.catches == {}
    full = Piece("rings", "rings", **WEIGHED, flour="nearly all")
    assert full.is_weighed
    assert full.catches == {"flour": "nearly all"}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"looks": "round thing"}, "looks"),
        ({"looks": "rings", "handful": Q(250, "g")}, "weighings"),
        ({"looks": "rings", **WEIGHED, "suspended": Q(260, "g")}, "suspended"),
        ({"looks": "sheet", "flour": "a bit"}, "flour"),
        ({"looks": "sheet", "thickness": Q(3, "kg")}, "thickness"),
        ({"looks": "sheet", "tray": 2.5}, "tray"),
    ],
)
def test_what_cannot_be_is_refused_by_name(fields, words):
    with pytest.raises(ValidityError, match=words):
        Piece("it", **fields)
