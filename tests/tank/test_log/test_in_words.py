"""Plain words, tonight first: each fault that is put into a log is the one that is named."""

import re
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from tank.test_log.sound_logs import (
    LONG_BEFORE,
    SOFT,
    TANK,
    forecast_of,
    report_of,
    sound_log,
    with_more,
    zeros,
)

from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.in_words import report
from aqualib.tank.test_log.log import Reading
from aqualib.units import Q
from aqualib.validity import ValidityError


def said(log, tank=TANK):
    """The report in one text; every sentence of it is one."""
    found = report(fit_log(log, tank))
    for sentence in found.sentences:
        assert sentence[0].isupper()
        assert sentence[-1] in ".?"
        assert not re.search(r"\b(nan|inf)\b|  |\n", sentence)
    return str(found)


@pytest.mark.parametrize("thing", [None, 1.0, "log", TANK])
def test_what_is_no_forecast_is_refused(thing):
    with pytest.raises(ValidityError, match="forecast"):
        report(thing)


def test_tonight_comes_first_then_what_to_do_then_the_day():
    first, second, third, fourth = report_of(9).sentences[:4]
    assert first.startswith("Day 9: ammonia ")
    assert second.startswith("To do: ")
    assert third.startswith("Safe for good: ")
    assert fourth.startswith(("What would narrow it most: ", "Another test"))
    assert report_of(9).headline in third


def test_the_day_is_that_of_the_forecast():
    low, middle, high = forecast_of(11).ready
    words = report_of(11).day
    assert (
        f"between day {low:.0f} and day {np.ceil(high):.0f}, most likely day {middle:.0f}" in words
    )
    assert f"± {max(round((high - low) / 2), 1)} day" in words


def test_what_holds_it_up_today_is_named():
    assert "What holds it up today: nitrite goes last" in report_of(9).day
    earlier = forecast_of(5).best.held_up_by(5.0)
    assert earlier.startswith("there are enough bacteria by now, but some ammonia is still left")


def test_what_never_gets_ready_names_the_cause_of_never():
    """Today the bacteria are few; what stops the tank for good is the surface."""
    small = replace(TANK, media_area=Q(0.1, "m**2"))
    words = said(sound_log(9, tank=small), small)
    assert re.search(r"by day 60[^.]*: too little surface for \w+ oxidisers", words)
    assert "What holds it up today" in words or "Not safe by day 60 in anything" in words


def test_a_ready_filter_is_called_ready():
    found = report_of(LONG_BEFORE)
    assert "already carries the planned load. Test before" in found.day
    assert found.headline.startswith("since about day")
    assert found.next == ""


def test_a_last_reading_that_is_high_is_believed_before_the_fit():
    bad = Reading(99, 40.0, "ammonia", 4.0)
    log = with_more(sound_log(LONG_BEFORE), "ph", {1: 7.5, 20: 7.5, 30: 7.5, 39: 7.5})
    words = said(replace(log, readings=(*log.readings, bad)))
    assert "ammonia 4 mg/L as N, above its limit" in words
    assert "believe the reading" in words
    assert "already carries" not in words
    assert "slip of the pen" not in words


def test_where_no_day_is_named_the_report_says_what_would_decide():
    found = report(fit_log(zeros((5, 5, 5, 5)), TANK))
    assert found.day.startswith("No day can be named. Only ")
    assert found.next.startswith("What would decide: Feed what you said")
    assert found.headline == "no day can be named yet"
    assert not re.search(r"day \d+ and day|±", str(found))


def test_a_slip_of_the_pen_is_named_by_its_line_and_is_not_used():
    slip = lambda r: replace(r, value=40.0) if (r.what, r.day) == ("ammonia", 15.0) else r  # noqa: E731
    words = said(sound_log(21, slip))
    assert "Line 15: ammonia 40 mg/L as N on day 15 is not used" in words
    assert "already carries" in words


def test_slow_growth_is_named():
    slow = {"nitrite_oxidiser_growth": 0.42, "ammonia_oxidiser_growth": 0.42}
    tank = replace(TANK, seed=0.05)
    assert "grow slower than usual" in said(sound_log(45, tank=tank, values=slow), tank)


def test_the_day_hangs_on_alkalinity_and_says_so():
    assert "It holds only while alkalinity lasts" in said(
        sound_log(7), replace(SOFT, alkalinity=Q(80, "mg/L"))
    )
    assert "alkalinity lasts" not in str(report_of(9))
    followed = with_more(sound_log(21), "alkalinity", {2: 400.0, 18: 390.0})
    steady = with_more(followed, "ph", {1: 7.6, 7: 7.5, 13: 7.2, 19: 6.9})
    assert "pH fell by 0.7: follow alkalinity" in said(steady)


def test_cold_water_is_slow():
    assert "At 17 °C nitrifiers are slow" in said(with_more(sound_log(9), "temperature", {1: 17.0}))


def test_the_calendar_goes_with_the_days():
    found = re.search(r"By the calendar: (\S+) to (\S+)\.", str(report_of(11)))
    low, _, high = forecast_of(11).ready
    days = [(date.fromisoformat(text) - date(2026, 3, 2)).days for text in found.groups()]
    assert days == [int(low), np.ceil(high)]
