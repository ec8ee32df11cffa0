"""Plain words: each fault that is put into a log is the one that is named."""

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from aqualib.lesson.panels.reading_your_test_log import example_log, example_scenario
from aqualib.tank.maturation.run import simulate
from aqualib.tank.maturation.scenario import Scenario
from aqualib.tank.test_log.diagnosis import diagnose, nitrogen_balance
from aqualib.tank.test_log.fit import fit_log
from aqualib.tank.test_log.log import KeepersLog, Reading
from aqualib.units import Q
from aqualib.validity import ValidityError

TANK = Scenario(seed=0.01, days=Q(60, "day"))


def log_of(tank, days, change=lambda reading: reading, values=None):
    """Readings without error of a tank, every other day, each passed through `change`."""
    state = simulate(tank, values).course.state
    readings = []
    for day in range(1, days + 1, 2):
        for what in ("ammonia", "nitrite", "nitrate"):
            value = float(getattr(state, what)[4 * day]) + (1.0 if what == "nitrate" else 0.0)
            readings.append(change(Reading(day, float(day), what, value)))
    return KeepersLog("made up", example_log().start, tuple(readings), (), (), ())


@pytest.mark.parametrize("thing", [None, 1.0, "log", TANK])
def test_what_is_no_forecast_is_refused(thing):
    with pytest.raises(ValidityError, match="forecast"):
        diagnose(thing)


def said(log, tank=TANK):
    """The diagnosis, each sentence of which is one, and the forecast it is made of."""
    forecast = fit_log(log, tank)
    assert np.isfinite(forecast.residuals).all()
    sentences = diagnose(forecast)
    assert sentences
    for sentence in sentences:
        assert sentence[0].isupper()
        assert sentence[-1] in ".?"
        assert not re.search(r"\b(nan|inf)\b", sentence)
    return " ".join(sentences), forecast


@cache
def said_of_a_sound_log(days):
    return said(log_of(TANK, days))


def only_nitrate(factor):
    return lambda r: replace(r, value=r.value * factor) if r.what == "nitrate" else r


def test_nitrite_oxidisers_are_the_late_ones():
    words, _ = said_of_a_sound_log(9)
    assert "nitrite oxidisers are the late ones" in words
    assert "does not carry the planned load yet" in words


def test_ammonia_oxidisers_are_still_too_few():
    words, _ = said_of_a_sound_log(3)
    assert "ammonia oxidisers are still too few" in words


def test_a_ready_filter_is_called_ready():
    words, _ = said_of_a_sound_log(40)
    assert "already carries the planned load. Test before" in words
    assert "balance" not in words


def test_a_last_reading_that_is_high_is_believed_before_the_fit():
    log = log_of(TANK, 40)
    bad = Reading(99, 40.0, "ammonia", 9.0)
    words, _ = said(replace(log, readings=(*log.readings, bad)))
    assert "above the short-term limit" in words
    assert "already carries" not in words
    assert "Line 99" in words


def test_nitrate_rose_faster_than_feed_can_explain():
    words, forecast = said(log_of(TANK, 30, only_nitrate(3.0)))
    assert "as fast as the feed can explain" in words
    assert nitrogen_balance(forecast)[0] == pytest.approx(3.0, abs=0.7)


def test_a_mixed_up_basis_is_guessed_at_but_not_corrected():
    words, _ = said(log_of(TANK, 30, only_nitrate(4.4266)))
    assert "Is nitrate written as ion where the heading says as N?" in words
    words, _ = said(log_of(TANK, 40, only_nitrate(1 / 4.4266)))
    assert "Is nitrate written as N where the heading says as ion?" in words


def test_nitrogen_that_does_not_turn_up():
    words, _ = said(log_of(TANK, 40, only_nitrate(0.3)))
    assert "of the feed's nitrogen turns up" in words


def test_the_balance_of_a_sound_log_is_one():
    _, forecast = said_of_a_sound_log(40)
    ratio, error = nitrogen_balance(forecast)
    assert ratio == pytest.approx(1.0, abs=0.05)
    assert 0.0 < error < 0.3


def test_no_balance_from_few_readings():
    _, forecast = said_of_a_sound_log(9)
    assert nitrogen_balance(replace(forecast, log=log_of(TANK, 5))) is None
    assert nitrogen_balance(replace(forecast, log=log_of(TANK, 7))) is not None


def test_slow_growth_is_named():
    slow = {"nitrite_oxidiser_growth": 0.42, "ammonia_oxidiser_growth": 0.42}
    words, _ = said(log_of(replace(TANK, seed=0.05), 45, values=slow), replace(TANK, seed=0.05))
    assert "grow slower than usual" in words


def test_a_slip_of_the_pen_is_named_by_its_line():
    slip = lambda r: replace(r, value=30.0) if (r.what, r.day) == ("ammonia", 15.0) else r  # noqa: E731
    words, _ = said(log_of(TANK, 21, slip))
    assert "Line 15: ammonia 30 mg/L as N on day 15" in words


def test_falling_ph_and_cold_water():
    log = log_of(TANK, 9)
    more = [Reading(70 + d, float(d), "ph", 7.6 - 0.1 * d) for d in range(9)]
    more += [Reading(90, 1.0, "temperature", 17.0)]
    words, _ = said(replace(log, readings=(*log.readings, *more)))
    assert "The pH fell by" in words
    assert "At 17 °C nitrifiers are slow" in words


@pytest.mark.parametrize("day", [3, 15])
def test_the_example_is_told_in_sentences(day):
    """The lesson shows what is said of the whole of it."""
    words, _ = said(example_log().until(day), example_scenario())
    assert words
