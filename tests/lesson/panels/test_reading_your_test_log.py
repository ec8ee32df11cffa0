"""A log laid over its forecast: the panel uses the readings up to a day, and no others."""

import base64
import dataclasses

import numpy as np
import pytest

from aqualib.lesson import asking
from aqualib.lesson.panels.reading_your_test_log import (
    answer,
    compute,
    describe,
    panel_of,
    readings_panel,
)
from aqualib.tank.test_log import example_log, fit_log, own_tank, report
from aqualib.tank.test_log.log import Reading
from aqualib.units import set_units

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


CSV = (
    "date,ammonia (mg/L as N),nitrite (mg/L as N)\n2026-03-02,1.0,0\n2026-03-05,3,0.1\n"
    "2026-03-09,2,1\n2026-03-12,0.5,3\n"
)


def test_the_panel_follows_the_file_that_is_chosen(tmp_path):
    """A page without code has no other way to draw a learner's own log."""
    box = asking.chosen_log()
    panel = panel_of(box)
    assert panel.result.used == LOG.last_day
    invented = panel.view.png
    data = base64.b64encode(CSV.encode()).decode()
    box._repr_mimebundle_()
    box._on_message(box.view, {"do": "file", "name": "file", "value": ["my.csv", data]}, [])
    assert panel.result.log.start == box.log.log.start
    assert (panel.result.used, panel.view.controls[0]["high"]) == (10.0, 10.0)
    panel.set(days_used=3)
    assert panel.result.used == 3.0

    # Nothing of the log before may stand for a file that was not read.
    box.choose(tmp_path / "no-such-file.csv")
    assert "No picture of this file yet" in panel.sentence
    assert panel.view.controls == []
    assert panel.view.error == ""
    empty = panel.view.png
    set_units("us")
    set_units("metric")
    panel.reset()
    assert panel.view.png == empty != invented

    # The same words where the cell is run only then.
    assert panel_of(box).sentence == panel.sentence
    box.choose(None)
    assert panel.result.used == LOG.last_day
    assert panel.view.png == invented
