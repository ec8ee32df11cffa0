"""A log laid over its forecast: the panel uses the readings up to a day, and no others."""

import dataclasses

import numpy as np
import pytest

from aqualib.lesson.panels.reading_your_test_log import (
    answer,
    compute,
    describe,
    panel_of,
    readings_panel,
)
from aqualib.tank.test_log import example_log, fit_log, own_log, own_tank, report
from aqualib.tank.test_log.log import Reading

LOG, TANK = example_log(), own_tank()


def outlook_of(day, nitrate=True):
    return compute(LOG, TANK, days_used=day, nitrate=nitrate)


@pytest.fixture(scope="module")
def outlook():
    return outlook_of(15.0)


def test_forecast_is_that_of_the_readings_used(outlook):
    days = [reading.day for reading in LOG.readings]
    assert outlook.used == max(day for day in days if day <= 15)
    by_hand = fit_log(LOG.until(outlook.used), TANK.long_enough_for(LOG))
    assert outlook.forecast.ammonia.middle == pytest.approx(by_hand.ammonia.middle)
    assert outlook.said == report(by_hand)


def test_words_say_tonight_first_then_the_day(outlook):
    words = describe(outlook)
    assert words.startswith(f"The invented tank of the lesson on day {outlook.used:g}: not safe")
    assert f"{len(outlook.forecast.readings)} readings used" in words
    what, when = answer(outlook)
    assert what.startswith("Tonight not safe for animals")
    assert when == outlook.said.headline


def test_before_the_first_reading_the_first_is_used():
    first = outlook_of(-1.0)
    assert first.used == min(reading.day for reading in LOG.readings)
    assert first.forecast.no_day


def test_nitrate_is_the_witness():
    """The same day without the nitrate readings: the band is at least twice as wide."""
    seen, blind = (outlook_of(19.0, nitrate).forecast.ready for nitrate in (True, False))
    assert np.isinf(blind.high) or blind.high - blind.low > 2.0 * (seen.high - seen.low)
    assert all(r.what != "nitrate" for r in outlook_of(19.0, False).forecast.readings)


def test_a_log_opens_at_its_last_day():
    long = dataclasses.replace(LOG, readings=(*LOG.readings, Reading(99, 200.0, "nitrite", 0.05)))
    control = readings_panel(long, TANK).controls["days_used"]
    assert control.value == 200.0


def test_a_file_with_nothing_to_draw_gets_words_instead_of_a_panel():
    assert "No picture yet" in panel_of(own_log("no-such-file.csv"))
    assert panel_of(own_log()).result.used == LOG.last_day
