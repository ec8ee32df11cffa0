"""Dates as people write them, and what comes first in them."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from aqualib.tank.test_log.cells import UnreadableError
from aqualib.tank.test_log.dates import may_be_either, orders_of, read_date


@given(st.text(max_size=30), st.sampled_from(["day first", "month first"]))
def test_any_text_is_a_date_or_refused(text, order):
    try:
        found = read_date(text, order)
    except UnreadableError:
        return
    assert isinstance(found, date)


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-05",
        "2026-3-5",
        "2026/03/05",
        "05/03/2026",
        "5.3.26",
        "05-03-2026",
        "2026-03-05T18:30",
        "5/3/26 18:30",
        "5/3/26 6:30 pm",
        "\u200e05\u200e/03\u200e/2026",
        "5 March 2026",
        "5. Mar. 2026",
        "5-Mar-2026",
        "March 5th, 2026",
        "Mar 5 2026",
    ],
)
def test_dates(text):
    assert read_date(text) == date(2026, 3, 5)


def test_the_month_may_come_first():
    assert read_date("3/5/26", "month first") == date(2026, 3, 5)
    assert read_date("2026-03-05", "month first") == date(2026, 3, 5)


@pytest.mark.parametrize(
    ("text", "order", "why"),
    [
        ("03/25/2026", "day first", "is no date day first"),
        ("25/03/2026", "month first", "is no date month first"),
        ("31.02.2026", "day first", "no day of the calendar"),
        ("2026-13-01", "day first", "no day of the calendar"),
        ("45/45/2026", "day first", "no day of the calendar"),
        ("5/3", "day first", "is no date"),
        ("5.3/2026", "day first", "is no date"),
        ("5 Mars", "day first", "is no date"),
        ("", "day first", "is no date"),
        ("14", "day first", "is no date"),
        ("2026-03-05" + " " * 60 + "1", "day first", "is no date"),
    ],
)
def test_what_is_no_date_is_refused_in_words(text, order, why):
    with pytest.raises(UnreadableError, match=why):
        read_date(text, order)


def test_which_dates_can_be_read_in_two_ways():
    assert may_be_either("03/04/2026")
    for text in ("25/03/2026", "03/25/2026", "3/03/2026", "2026-03-04", "03/04/0000", "0/3/2026"):
        assert not may_be_either(text), text


@pytest.mark.parametrize(
    ("texts", "orders"),
    [
        (["03/04/2026", "25/04/2026"], {"day first"}),
        (["03/04/2026", "04/25/2026"], {"month first"}),
        (["25/03/2026", "03/26/2026"], {"day first", "month first"}),
        (["03/04/2026", "2026-03-25"], {"day first", "month first"}),
        (["03.04.2026", "05.04.2026"], {"day first"}),
        (["03.04.2026", "04.25.2026"], {"month first"}),
        (["03.04.2026 18:30", "04-05-2026"], {"day first", "month first"}),
        (["05/05/2026", "2026-03-25", "rubbish"], {"day first"}),
        ([], {"day first"}),
    ],
)
def test_one_plain_date_settles_it_for_all(texts, orders):
    assert orders_of(texts) == orders
