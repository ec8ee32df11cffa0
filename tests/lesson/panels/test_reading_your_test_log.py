"""A log laid over its forecast: the panel uses the readings up to a day, and no others."""

import numpy as np
import pytest

from aqualib.lesson.panels.reading_your_test_log import (
    answer,
    compute,
    describe,
    example_log,
    example_scenario,
)
from aqualib.tank.test_log import diagnose, fit_log


@pytest.fixture(scope="module")
def outlook():
    return compute(example_log(), example_scenario(), days_used=15.0, certainty=0.9)


def test_forecast_is_that_of_the_readings_used(outlook):
    log = example_log()
    days = [reading.day for reading in log.readings]
    assert outlook.used == max(day for day in days if day <= 15)
    by_hand = fit_log(log.until(outlook.used), example_scenario())
    assert outlook.forecast.ammonia.middle == pytest.approx(by_hand.ammonia.middle)
    assert outlook.said == diagnose(by_hand)
    assert outlook.safe_day == by_hand.day_by(0.9)


def test_words_and_date_follow_the_day(outlook):
    assert describe(outlook).startswith(
        f"{len(outlook.forecast.readings)} readings up to day {outlook.used:g} are used."
    )
    what, when = answer(outlook)
    assert what == "Safe for good, 90 % sure"
    if outlook.in_time:
        day = int(np.ceil(outlook.safe_day))
        assert when == f"day {day}, {np.datetime64(outlook.log.start) + day}"
    else:
        assert when == f"not by day {outlook.days:.0f}"


def test_before_the_first_reading_the_first_is_used():
    first = compute(example_log(), example_scenario(), days_used=-1.0, certainty=0.5)
    assert first.used == min(reading.day for reading in example_log().readings)
