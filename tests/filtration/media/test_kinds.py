"""The table of media: each number in its range and with its origin; a slip in a row is refused."""

import pytest

from aqualib.filtration.media.kinds import (
    LIMITS,
    OF_ALL,
    measured_beds,
    media_kind,
    media_kinds,
    read_kinds,
)
from aqualib.validity import ValidityError

ROW = {
    "kind": "made-up balls", "shape": "measured", "property": "size", "value": "10", "low": "5",
    "high": "20", "unit": "mm", "basis": "assumed", "source": "assumed", "locator": "",
    "note": "made up",
}  # fmt: skip
AREA = {**ROW, "property": "bed_area", "value": "300", "low": "200", "high": "400",
        "unit": "m**2/m**3"}  # fmt: skip
ALL = {**media_kinds(), **measured_beds()}


@pytest.mark.parametrize("name", ALL)
def test_every_number_lies_in_its_range_and_says_who(name):
    kind = ALL[name]
    for what, number in kind.numbers.items():
        unit, least, most = LIMITS[what]
        assert number.unit == unit
        assert least <= number.low <= number.value <= number.high <= most, what
        assert kind.says_who(what)
        assert number.note or number.source not in {"", "assumed"}, what


@pytest.mark.parametrize("name", media_kinds())
def test_every_kind_that_may_fill_a_filter_is_whole(name):
    kind = media_kind(name)
    assert set(OF_ALL) <= set(kind.numbers)
    assert kind.says_who("price") == "invented for the lesson"
    assert kind.bare("size", 0.02) == 0.02
    assert kind.bare("size") == pytest.approx(kind["size"].value / 1000)


def test_rows_make_a_kind():
    found = read_kinds([ROW, AREA])["made-up balls"]
    assert found["bed_area"].value == 300
    with pytest.raises(ValidityError, match="voidage"):
        found["voidage"]


@pytest.mark.parametrize(
    ("slip", "told"),
    [
        ({"value": "30"}, "low <= value <= high"),
        ({"value": "much"}, "a number"),
        ({"high": "nan"}, "a number"),
        ({"high": "inf"}, "a number"),
        ({"low": "0"}, "within 0.05 to 200"),
        ({"unit": "cm"}, "unit"),
        ({"property": "colour"}, "property"),
        ({"shape": "star"}, "shape"),
        ({"basis": "heard"}, "basis"),
        ({"basis": "published", "source": "Nobody1900", "locator": "p. 1"}, "source"),
        ({"basis": "published", "source": "Kolev2006"}, "source"),
        ({"note": ""}, "source"),
        ({"note": None}, "one entry for each column"),
    ],
)
def test_slip_in_a_row_is_refused(slip, told):
    with pytest.raises(ValidityError, match=told) as refused:
        read_kinds([{**ROW, **slip}, AREA])
    assert "media.csv" in str(refused.value)


def test_rows_that_do_not_go_together_are_refused():
    with pytest.raises(ValidityError, match="second row"):
        read_kinds([ROW, ROW, AREA])
    with pytest.raises(ValidityError, match="bed_area"):
        read_kinds([ROW])
    with pytest.raises(ValidityError, match="shape"):
        read_kinds([ROW, {**AREA, "shape": "ball"}])


def test_unknown_kind_is_refused_with_the_known_ones():
    with pytest.raises(ValidityError, match="gravel"):
        media_kind("gold")
    for name in (["gravel"], None, 3, {"gravel": 1}):
        with pytest.raises(ValidityError, match=r"kind = .*gravel"):
            media_kind(name)
