"""What a log holds, and what it shows of itself."""

from aqualib.tank.test_log.reader import parse_test_log

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


def test_it_shows_its_counts_and_its_problems():
    text = str(LOG)
    assert "5 readings in 7 days" in text
    assert "ammonia (written as N): 3, 1 of them beyond the reach of the test" in text
    assert "line 3, nitrite as N: “x” is no number; not used" in text


def test_it_can_be_a_key():
    assert len({LOG, LOG.until(400), LOG.until(2)}) == 2
