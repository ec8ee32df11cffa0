"""The balance of nitrogen: one for a sound log, and off by what was done to it."""

from dataclasses import replace

import numpy as np
import pytest
from tank.test_log.sound_logs import log_of, only_nitrate, sound_log

from aqualib.tank.test_log.balance import (
    Balance,
    errors_of,
    late_balance,
    nitrogen_balance,
    totals,
    with_nitrate_times,
)
from aqualib.tank.test_log.log import Reading

DAYS = np.arange(61.0)
FED = 1.0 * DAYS
"""One mg/L a day."""


def flat(days, rise, sign="="):
    """Nitrate that rises so much a day, and no ammonia or nitrite."""
    return log_of(
        Reading(day, float(day), what, value, sign if what != "nitrate" else "=")
        for day in days
        for what, value in (("ammonia", 0.2), ("nitrite", 0.1), ("nitrate", 5.0 + rise * day))
    )


def test_a_sound_log_is_in_balance():
    found = nitrogen_balance(sound_log(40), DAYS, FED)
    assert found.ratio == pytest.approx(1.0, abs=0.08)
    assert 0.0 < found.error < 0.3
    assert not found.fails


@pytest.mark.parametrize(("rise", "fails"), [(0.1, "too_little"), (1.0, ""), (3.5, "too_much")])
def test_the_ratio_is_what_turns_up(rise, fails):
    found = nitrogen_balance(flat(range(1, 30, 4), rise), DAYS, FED)
    assert found.ratio == pytest.approx(rise, abs=0.01)
    assert (found.too_much, found.too_little) == (fails == "too_much", fails == "too_little")
    assert found.fails is bool(fails)


def test_what_is_uncertain_does_not_fail():
    assert not Balance(0.1, 0.25).fails
    assert not Balance(2.9, 0.6).fails


def test_nitrogen_that_came_only_at_first_shows_in_the_later_half():
    days = range(1, 59, 3)
    log = flat(days, 0.0)
    early = [
        replace(r, value=5.0 + 1.5 * min(r.day, 24.0)) if r.what == "nitrate" else r
        for r in log.readings
    ]
    log = log_of(early)
    assert not nitrogen_balance(log, DAYS, FED).too_little
    assert late_balance(log, DAYS, FED).too_little
    assert not late_balance(flat(days, 1.0), DAYS, FED).fails


def test_few_days_or_no_food_tell_nothing():
    assert nitrogen_balance(flat((1, 5, 9), 1.0), DAYS, FED) is None
    assert nitrogen_balance(flat((1, 5, 9, 13), 1.0), DAYS, FED) is not None
    assert nitrogen_balance(flat((1, 5, 9, 13), 1.0), DAYS, 0.0 * FED) is None


def test_totals_take_half_of_a_limit_and_leave_out_what_is_off_the_scale():
    below = totals(flat((1, 3), 0.0, "<"))
    assert [t.value for t in below] == pytest.approx([5.15, 5.15])
    assert totals(flat((1, 3), 0.0, ">")) == []
    assert totals(log_of([Reading(1, 1.0, "nitrate", 5.0)])) == []
    assert below[0].error == pytest.approx(np.linalg.norm(errors_of(np.array([0.1, 0.05, 5.0]))))


def test_nitrate_in_another_basis():
    log = sound_log(9)
    assert with_nitrate_times(log, 3.0).readings == sound_log(9, only_nitrate(3.0)).readings
