"""What a log holds, and what it shows of itself."""

import pytest

from aqualib.tank.test_log.log import MOST_SHOWN, Remarks
from aqualib.tank.test_log.reader import parse_test_log
from aqualib.validity import ValidityError

LOG = parse_test_log(
    "date;ammonia as N;nitrite as N\n2026-03-02;1;<0,05\n2026-03-04;2;x\n2026-03-09;<0,25;1\n"
)


def test_until_keeps_what_came_before():
    assert [r.day for r in LOG.until(2).of("ammonia")] == [0.0, 2.0]
    assert LOG.until(2).last_day == 2.0
    assert LOG.until(-1).last_day == 0.0
    assert LOG.until(400) == LOG


def test_middle_leaves_out_what_is_only_a_limit():
    assert LOG.middle("ammonia") == 1.5
    assert LOG.middle("nitrite") == 1.0
    assert LOG.middle("nitrate") is None


def test_it_shows_its_counts_and_its_remarks():
    text = str(LOG)
    assert "5 readings in 7 days" in text
    assert "ammonia (written as N): 3, 1 of them beyond the reach of the test" in text
    assert "line 3, nitrite as N: “x” is no number; not used" in text


def test_it_can_be_a_key():
    assert len({LOG, LOG.until(400), LOG.until(2)}) == 2


@pytest.mark.parametrize("what", ["amonia", "date", "", None, ["ph"], 7])
def test_other_kinds_of_readings_are_refused(what):
    for ask in (LOG.of, LOG.middle):
        with pytest.raises(ValidityError, match=r"what = .* is not what a log holds"):
            ask(what)


@pytest.mark.parametrize("day", [float("nan"), None, "3", [1, 2], True])
def test_until_a_day_that_is_none_is_refused(day):
    with pytest.raises(ValidityError, match="day"):
        LOG.until(day)


def test_remarks_come_by_line_and_very_many_are_not_all_shown():
    remarks = Remarks()
    for line in (3, 2, 2):
        remarks.add(line, "pH", f"found in {line}")
    assert [remark.line for remark in remarks.by_line()] == [2, 2, 3]
    many = parse_test_log("date;pH\n2026-03-02;7\n" + "x;7\n" * (MOST_SHOWN + 3))
    assert str(many).count("is no date") == MOST_SHOWN
    assert str(many).endswith("and 3 more, see `remarks`")
