"""A sum with boxes: page and code do the same, and nothing stale stands under what is not read."""

from datetime import date

import pytest

from aqualib.lesson import asking
from aqualib.units import Q, set_units, show
from aqualib.validity import ValidityError

START = date(2030, 3, 2)


@pytest.fixture(autouse=True)
def _metric():
    set_units("metric")
    yield
    set_units("metric")


@pytest.fixture
def sheet():
    def tell(day, water, share, pad):
        if share > 1:
            raise ValidityError("share", share, "0 to 1", "", "is too much")
        return f"{day:%d.%m.%Y}: {show(share * water)} by the {pad} pad"

    return asking.with_boxes(
        "Your change",
        tell,
        day=asking.box("First day", START),
        water=asking.box("Water", Q(100, "L")),
        share=asking.box("Share", 0.25),
        pad=asking.box("Pad", "fine", ("fine", "coarse")),
    )


def send(sheet, name, value):
    sheet._repr_mimebundle_()
    sheet._on_message(sheet.view, {"turn": 1, "name": name, "do": "answer", "value": value}, [])
    return {item["name"]: item for item in sheet.view.items}


def test_it_opens_on_its_start_and_page_and_code_do_the_same(sheet):
    assert repr(sheet) == "02.03.2030: 25 L by the fine pad"
    shown = send(sheet, "water", "20 gal")
    assert shown["says"]["said"] == "02.03.2030: 18.9 L by the fine pad"
    assert shown["water"]["given"] == "75.7 L"
    assert sheet.set(water="60 L", share="0,5", day="2031-01-09", pad="coarse") == (
        "09.01.2031: 30 L by the coarse pad"
    )
    assert sheet.set(day=START, water=Q(10, "L"), share=1) == "02.03.2030: 10 L by the coarse pad"


@pytest.mark.parametrize(
    ("name", "odd"),
    [("day", "next week"), ("day", "2030-02-31"), ("day", "9999-12-31"),
     ("water", "many"), ("water", "3 kg"),
     ("share", ""), ("pad", "soft"), ("pad", "")],
)  # fmt: skip
def test_while_a_box_is_not_read_no_sum_stands_under_it(sheet, name, odd):
    shown = send(sheet, name, odd)
    assert shown[name]["state"] == "odd"
    assert len(shown[name]["said"]) > 10
    assert shown["says"]["said"].startswith("Not worked out yet")
    assert "L by the" not in repr(sheet)


def test_what_the_sum_refuses_is_told_in_words(sheet):
    assert "is too much" in sheet.set(share=2)
    assert sheet.set(share=0.5).startswith("02.03.2030")


def test_units_are_the_readers_own(sheet):
    set_units("us")
    shown = send(sheet, "water", "20")
    assert shown["water"]["unit"] == "US gal"
    assert shown["says"]["said"] == "02.03.2030: 5 US gal (18.9 L) by the fine pad"


def test_what_is_no_box_is_refused(sheet):
    with pytest.raises(ValidityError):
        sheet.set(other=3)
    with pytest.raises(ValidityError):
        asking.box("Pad", "soft", ("fine", "coarse"))
    before = repr(sheet)
    for odd in ("other", None, 3):
        send(sheet, odd, "3")
    assert repr(sheet) == before
