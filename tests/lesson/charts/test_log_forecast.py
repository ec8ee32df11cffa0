import dataclasses

import numpy as np
import pytest

from aqualib.lesson.charts.log_forecast import ROOM, LogForecastChart
from aqualib.lesson.panels.reading_your_test_log import compute, example_log, example_scenario


@pytest.fixture(scope="module")
def outlook():
    return compute(example_log(), example_scenario(), days_used=15.0, certainty=0.9)


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


@pytest.mark.parametrize("safe_day", [10.0, 55.0, np.inf])
def test_safe_region_begins_on_the_day(draw, outlook, safe_day):
    chart = draw(LogForecastChart(), dataclasses.replace(outlook, safe_day=safe_day))
    for strip in chart.strips.values():
        start = min(safe_day, outlook.days)
        assert strip.safe.get_x() == start
        assert strip.safe.get_x() + strip.safe.get_width() == pytest.approx(outlook.days)
    text = chart.safe_words.get_text()
    assert text.startswith("not safe for good" if np.isinf(safe_day) else "safe for good")
    # The words stand within the picture, on the side where there is room.
    x = chart.safe_words.get_position()[0]
    assert 0.0 < x < outlook.days
    assert chart.safe_words.across == ("left" if safe_day < 48 else "right")


@pytest.mark.parametrize(("used", "across"), [(10.0, "left"), (55.0, "right")])
def test_words_on_the_readings_stand_where_there_is_room(draw, outlook, used, across):
    chart = draw(LogForecastChart(), dataclasses.replace(outlook, used=used))
    assert chart.used_words.across == across
    x, y = chart.used_words.get_position()
    assert abs(x - used) == pytest.approx(0.01 * outlook.days)
    assert (x > used) == (across == "left")
    assert 0.0 < y < chart.strips["ammonia"].top
    assert y != chart.safe_words.get_position()[1]
