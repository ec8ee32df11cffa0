import dataclasses

import numpy as np
import pytest

from aqualib.lesson.charts.log_forecast import ROOM, LogForecastChart
from aqualib.lesson.panels.reading_your_test_log import compute
from aqualib.tank.test_log import example_log, own_tank
from aqualib.tank.test_log.log import Reading
from aqualib.tank.test_log.no_day import NoDay

LOG = example_log()


def outlook_of(day):
    return compute(LOG, own_tank(), days_used=day, nitrate=True)


@pytest.fixture(scope="module")
def outlook():
    return outlook_of(15.0)


def but(outlook, **changes):
    """The outlook with something else in its forecast."""
    return dataclasses.replace(outlook, forecast=dataclasses.replace(outlook.forecast, **changes))


def drawn(line):
    return list(zip(*line.get_data(), strict=True))


def test_every_reading_is_there_and_those_used_stand_out(draw, outlook):
    chart = draw(LogForecastChart(), outlook)
    for what, strip in chart.strips.items():
        found = outlook.log.of(what)
        pale = [at for line in strip.middle.axes.lines[:3] for at in drawn(line)]
        assert sorted(pale) == sorted((reading.day, reading.value) for reading in found)
        used = sorted(at for line in strip.used.values() for at in drawn(line))
        assert used == sorted((r.day, r.value) for r in found if r.day <= outlook.used)
        assert len(used) < len(found)
        assert max((r.value for r in found), default=0.0) * ROOM[what] <= strip.top


def test_a_reading_below_or_above_the_test_is_an_arrow(draw, outlook):
    chart = draw(LogForecastChart(), outlook)
    arrows = {sign: line.get_marker() for sign, line in chart.strips["ammonia"].used.items()}
    assert arrows == {"=": "o", "<": "v", ">": "^"}
    below = [(r.day, r.value) for r in outlook.forecast.readings
             if r.what == "ammonia" and r.sign == "<"]  # fmt: skip
    assert drawn(chart.strips["ammonia"].used["<"]) == below


def test_line_and_band_are_the_forecast(draw, outlook):
    chart = draw(LogForecastChart(), outlook)
    time = outlook.forecast.time
    for what, strip in chart.strips.items():
        matter = getattr(outlook.forecast, what)
        assert strip.middle.get_xdata() == pytest.approx(time)
        assert strip.middle.get_ydata() == pytest.approx(matter.middle)
        outline = strip.band.get_xy()[: 2 * len(time)]
        assert outline[: len(time), 1] == pytest.approx(matter.low)
        assert outline[len(time) :, 1][::-1] == pytest.approx(matter.high)
        assert set(strip.today.get_xdata()) == {outlook.used}


@pytest.mark.parametrize(
    ("first", "last"), [(10.0, 20.0), (12.0, 55.0), (30.0, np.inf), (np.inf, np.inf)]
)
def test_hatched_is_perhaps_and_shaded_is_safe(draw, outlook, first, last):
    ready = np.array([first] * 25 + [last] * 25)
    changed = but(outlook, ready_days=ready)
    chart = draw(LogForecastChart(), changed)
    begins, ends = min(first, outlook.days), min(last, outlook.days)
    assert changed.perhaps == (begins, ends)
    for what, strip in chart.strips.items():
        assert strip.safe.get_visible() is strip.perhaps.get_visible() is (what != "nitrate")
        assert strip.perhaps.get_x() == begins
        assert strip.perhaps.get_x() + strip.perhaps.get_width() == pytest.approx(ends)
        assert strip.safe.get_x() == ends
        assert strip.safe.get_x() + strip.safe.get_width() == pytest.approx(outlook.days)
    words = {(True, True): "not safe within these days", (False, True): "hatched: perhaps safe"}
    text = words.get((np.isinf(first), np.isinf(last)), "safe for good")
    assert chart.safe_words.get_text() == text
    # The words stand within the picture, on the side where there is room.
    assert 0.0 < chart.safe_words.get_position()[0] <= outlook.days
    assert chart.safe_words.across == ("left" if last < 42 else "right")


def test_without_a_day_nothing_is_shown_beyond_the_readings(draw, outlook):
    refused = but(outlook, no_day=NoDay("Too few.", "Test again."))
    chart = draw(LogForecastChart(), refused)
    for strip in chart.strips.values():
        assert strip.middle.get_xdata().max() <= outlook.used
        assert strip.band.get_xy()[:, 0].max() <= outlook.used
        assert strip.safe.get_width() == strip.perhaps.get_width() == 0.0
    assert chart.safe_words.get_text() == "no day can be named"


def test_limits_are_those_of_tonight(draw, outlook):
    chart = draw(LogForecastChart(), outlook)
    for matter in outlook.said.tonight.matters:
        strip = chart.strips[matter.what]
        assert list(strip.limit.get_ydata()) == [matter.limit] * 2
        assert strip.limit_words.get_position()[1] == matter.limit
        assert strip.limit_words.get_text() == "limit"
    assert len(chart.strips["nitrate"].limit.get_xdata()) == 0


def test_a_slip_is_crossed_and_is_not_among_those_used(draw, outlook):
    slip = next(r for r in outlook.forecast.readings if r.what == "ammonia" and r.sign == "=")
    kept = tuple(r for r in outlook.forecast.readings if r != slip)
    chart = draw(LogForecastChart(), but(outlook, slips=(slip,), readings=kept))
    strip = chart.strips["ammonia"]
    assert drawn(strip.slips) == [(slip.day, slip.value)]
    assert (slip.day, slip.value) not in drawn(strip.used["="])
    assert drawn(chart.strips["nitrite"].slips) == []


def test_nitrate_stays_in_its_strip(draw, outlook):
    chart = draw(LogForecastChart(), outlook)
    assert outlook.forecast.nitrate.middle.max() <= chart.strips["nitrate"].top
    more = Reading(99, 20.0, "nitrate", 120.0)
    log = dataclasses.replace(LOG, readings=(*LOG.readings, more))
    assert dataclasses.replace(outlook, log=log).top("nitrate") >= 120.0


@pytest.mark.parametrize(("used", "across"), [(10.0, "left"), (55.0, "right")])
def test_words_on_the_readings_stand_where_there_is_room(draw, outlook, used, across):
    chart = draw(LogForecastChart(), dataclasses.replace(outlook, used=used))
    assert chart.used_words.across == across
    x, y = chart.used_words.get_position()
    # Over the strip, at the line, where no reading lies.
    assert x == used
    assert y > chart.strips["ammonia"].top > chart.safe_words.get_position()[1]
