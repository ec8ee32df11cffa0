import dataclasses
from types import SimpleNamespace

import numpy as np
import pytest

from aqualib.lesson.charts.maturation import PHASES, MaturationCurves, Run
from aqualib.tank.maturation.forecast import Band

DAYS = np.linspace(0.0, 84.0, 169)


def hump(middle, height):
    return height * np.exp(-(((DAYS - middle) / 6.0) ** 2))


def run(**changes):
    made = Run(
        scenario=None, celsius=25.0, load=166.0, litres=200.0,
        time=DAYS, ammonia=hump(14, 6.0), nitrite=hump(28, 9.0), nitrate=0.2 * DAYS,
        ready=40.0, ammonia_falls=24.0, why="",
    )  # fmt: skip
    return dataclasses.replace(made, **changes)


def band(low, middle, high):
    """What the chart draws of a band, with a given day."""
    return SimpleNamespace(
        time=DAYS,
        ammonia=Band(0.5 * hump(14, 6.0), hump(14, 6.0), 1.5 * hump(14, 6.0)),
        nitrite=Band(0.5 * hump(28, 9.0), hump(28, 9.0), 1.5 * hump(28, 9.0)),
        ready=(low, middle, high),
    )


def top(chart):
    return float(chart.marks[-1].get_text())


def sides(patch):
    x = patch.get_xy()[:, 0]
    return x.min(), x.max()


def test_lines_are_the_numbers_on_a_round_scale(draw):
    chart = draw(MaturationCurves(), run())
    assert top(chart) == 10.0
    # The higher of the two sets the scale, whichever it is.
    for ammonia, nitrite in ((1.5, 9.0), (9.0, 1.5)):
        other = run(ammonia=hump(14, ammonia), nitrite=hump(28, nitrite))
        assert top(draw(MaturationCurves(), other)) == 10.0
    for name, level in (("ammonia", hump(14, 6.0)), ("nitrite", hump(28, 9.0))):
        days, heights = chart.curves[name].get_data()
        assert days == pytest.approx(DAYS)
        assert heights * top(chart) == pytest.approx(level)
        x, _ = chart.names[name].get_position()
        assert x == pytest.approx(DAYS[level.argmax()], abs=1.0)


def test_safe_begins_on_the_day_and_the_strip_says_what_to_do(draw):
    chart = draw(MaturationCurves(), run())
    assert list(chart.safe.get_xdata()) == [40.0, 40.0]
    assert chart.said.get_text() == "safe from day 40"
    assert [sides(phase) for phase in chart.phases] == [(0, 24), (24, 40), (40, 84)]
    assert [words.get_position()[0] for words in chart.words] == [12.0, 32.0, 62.0]
    assert [words.get_text() for words in chart.words] == [
        PHASES[0][0], PHASES[1][1], PHASES[2][0],
    ]  # fmt: skip
    # What harms never looks like what is safe.
    hues = {phase.get_facecolor()[:3] for phase in chart.phases}
    hatches = {phase.get_hatch() for phase in chart.phases}
    assert len(hues) == len(hatches) == 3


def test_not_safe_in_time_colours_nothing(draw):
    chart = draw(MaturationCurves(), run(ready=np.nan, ammonia_falls=70.0))
    assert not chart.safe.get_visible()
    assert chart.said.get_text() == ""
    assert [sides(phase) for phase in chart.phases] == [(0, 70), (70, 84), (84, 84)]


def test_the_band_of_the_last_to_fall_lies_about_its_line(draw):
    for falls, name, other, hump_ in (
        (24.0, "nitrite", "ammonia", hump(28, 9.0)), (40.0, "ammonia", "nitrite", hump(14, 6.0)),
    ):  # fmt: skip
        chart = draw(MaturationCurves(), run(ammonia_falls=falls, band=band(35.0, 41.0, np.inf)))
        assert chart.bands[name].get_visible()
        assert not chart.bands[other].get_visible()
        outline = chart.bands[name].get_xy()[: 2 * len(DAYS)]
        high, low = outline[: len(DAYS)], outline[len(DAYS) :][::-1]
        assert high[:, 0] == pytest.approx(DAYS)
        # Nothing above the picture.
        assert high[:, 1] * top(chart) == pytest.approx(np.minimum(1.5 * hump_, top(chart)))
        assert low[:, 1] * top(chart) == pytest.approx(0.5 * hump_)


def test_marks_stand_on_the_days_that_the_words_tell(draw):
    chart = draw(MaturationCurves(), run(band=band(35.0, 41.0, 50.0)))
    assert list(chart.odds.get_xdata()) == [35.0, 41.0, 50.0]
    assert chart.said.get_text() == (
        "▾ safe: one run in twenty by day 35 · half by day 41 · 19 in 20 by day 50"
    )
    chart = draw(MaturationCurves(), run(ready=np.nan, band=band(41.0, np.inf, np.inf)))
    assert list(chart.odds.get_xdata()) == [41.0]
    assert chart.said.get_text() == "▾ safe: one run in twenty by day 41"
    chart = draw(MaturationCurves(), run(ready=np.nan, band=band(np.inf, np.inf, np.inf)))
    assert list(chart.odds.get_xdata()) == []
    assert chart.said.get_text() == "▾ no run in twenty is safe by day 84"


def test_until_the_hand_rests_the_band_of_before_is_left_paler(draw):
    before = run(band=band(35.0, 41.0, 50.0))
    rested = draw(MaturationCurves(), before)
    (shown,) = (name for name, one in rested.bands.items() if one.get_visible())
    strength = rested.bands[shown].get_facecolor()[3]
    chart = draw(MaturationCurves(), before, run())
    assert [name for name, one in chart.bands.items() if one.get_visible()] == [shown]
    assert 0.0 < chart.bands[shown].get_facecolor()[3] < strength
    assert not chart.odds.get_visible()
    # Nothing is left of another tank, and none was there before the first.
    assert not any(one.get_visible() for one in draw(MaturationCurves(), run()).bands.values())
    assert not chart.odds.get_visible()
