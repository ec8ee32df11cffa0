"""Lesson 10's panel of carbon: the picture shows the numbers, and the numbers are the model's."""

import math

import numpy as np
import pytest

from aqualib.filtration.carbon.adsorption import freundlich_loading
from aqualib.filtration.carbon.bed import empty_bed_contact_time, removed_in_one_pass
from aqualib.filtration.carbon.loop import carbon_run
from aqualib.lesson.charts.filling_carbon import BAR_LENGTH
from aqualib.lesson.panels.carbon_in_the_loop import DAYS, carbon_panel
from aqualib.parameters import parameter
from aqualib.units import Q


@pytest.fixture
def carbon():
    panel = carbon_panel()
    yield panel
    panel.close()


SETTINGS = [
    {},
    {"mass": 500, "day": 60},
    {"mass": 5},
    {"initial": 0, "day": 0},
    {"production": 200, "volume": 20, "change": 0},
    {"initial": 20, "production": 1, "day": 100},
]


def wide(patch):
    return float(np.ptp(patch.get_xy()[:, 0]))


def top(chart):
    return float(chart.marks[-1].get_text())


@pytest.mark.parametrize("settings", SETTINGS)
def test_lines_are_the_numbers(carbon, settings):
    carbon.replay(**settings)
    chart, result = carbon.picture.chart, carbon.result
    for line, course in ((chart.tank, result.tank), (chart.without, result.without)):
        days, heights = line.get_data()
        assert days[-1] == pytest.approx(DAYS)
        assert np.asarray(heights) * top(chart) == pytest.approx(course)
    (x,), (y,) = chart.now.get_data()
    assert x == result.day
    assert y * top(chart) == pytest.approx(min(np.interp(x, result.days, result.tank), top(chart)))


@pytest.mark.parametrize("settings", SETTINGS)
def test_bar_is_what_the_carbon_holds(carbon, settings):
    carbon.replay(**settings)
    chart, result = carbon.picture.chart, carbon.result
    most = max(result.room_without, result.room, result.held)
    if not most:
        assert wide(chart.held) == 0.0
        return
    assert wide(chart.held) == pytest.approx(BAR_LENGTH * result.held / most)
    assert wide(chart.room) <= BAR_LENGTH * 1.0001
    held = result.grams * np.interp(result.day, result.days, np.asarray(loading_of(carbon)))
    assert result.held == pytest.approx(held)


def loading_of(carbon):
    """The loading in mg/g over the days of the picture, from the public function."""
    return public_run(carbon).loading.m


def public_run(carbon):
    values = carbon.values
    change = values["change"] / 100.0
    return carbon_run(
        mass=Q(values["mass"], "g"),
        flow=Q(values["flow"], "L/h"),
        production=Q(values["production"], "mg/day"),
        volume=Q(values["volume"], "L"),
        duration=Q(DAYS, "day"),
        initial=Q(values["initial"], "mg/L"),
        capacity=values["capacity"],
        exponent=values["exponent"],
        rate=Q(values["rate"], "1/s"),
        bulk_density=Q(values["bulk_density"], "kg/m**3"),
        exchange=Q(-math.log(1 - change) / 7.0, "1/day"),
    )


@pytest.mark.parametrize("settings", SETTINGS)
def test_panel_agrees_with_the_public_functions(carbon, settings):
    carbon.replay(**settings)
    result, run = carbon.result, public_run(carbon)
    assert result.tank == pytest.approx(run.concentration.m)
    assert result.without == pytest.approx(run.without.m)
    assert result.gone_on == pytest.approx(run.gone_on.m)
    assert result.halved_on == pytest.approx(run.halved_on.m)
    assert result.full_on == pytest.approx(run.full_on.m)
    bed = Q(result.grams, "g") / Q(carbon.values["bulk_density"], "kg/m**3")
    contact = empty_bed_contact_time(bed.to("L"), Q(result.flow, "L/h"))
    assert result.contact == pytest.approx(contact.m)
    share = removed_in_one_pass(contact, Q(carbon.values["rate"], "1/s"))
    assert result.one_pass == pytest.approx(100.0 * share)
    if result.now > 0.0:
        full = freundlich_loading(
            Q(result.now, "mg/L"), carbon.values["capacity"], carbon.values["exponent"]
        )
        assert result.room == pytest.approx(result.grams * full.m)


@pytest.mark.parametrize("grams", [5, 100, 500])
def test_layer_is_drawn_to_scale(carbon, grams):
    carbon.set(mass=grams)
    layer = carbon.picture.chart.carbon.get_xy()
    across, deep = np.ptp(layer, axis=0)
    assert across == pytest.approx(10.0 * parameter("filter_width").value)
    volume = math.pi / 4.0 * across**2 * deep / 1e6
    assert volume == pytest.approx(grams / parameter("carbon_bulk_density").value)
    assert carbon.picture.figure.axes[0].get_aspect() == 1.0


def test_day_of_the_dotted_line_is_the_answer(carbon):
    x = carbon.picture.chart.halved.get_xdata()[0]
    assert x == pytest.approx(carbon.result.halved_on)
    answer = " ".join(carbon.view.answer)
    assert f"day {x:.0f}" in answer
    assert carbon.view.answer[0] == "Replace the carbon"
    doubt = carbon.result.doubt
    for end in (doubt.halved_less, doubt.halved_more):
        assert f"by day {end:.0f}" in carbon.sentence
    assert doubt.halved_less < x < doubt.halved_more
    assert x < carbon.result.gone_on


def test_band_lies_about_the_curve(carbon):
    result = carbon.result
    assert np.all(result.doubt.tank_more <= result.tank + 1e-12)
    assert np.all(result.tank <= result.doubt.tank_less + 1e-12)


def test_words_when_there_is_no_day(carbon):
    assert carbon.replay(mass=5) == "Effect of so little carbon none to see"
    assert "no difference to see" in carbon.sentence
    assert "only after day 120" in carbon.replay(mass=500, capacity=10)
    assert "beyond" in carbon.picture.chart.halved_words.get_text()
    assert carbon.picture.chart.halved_day.get_text() == "day 120"


def test_carbon_that_gives_back_is_called_so(carbon):
    carbon.replay(initial=20, production=1, change=80, day=40)
    assert carbon.result.fullness > 102
    assert carbon.picture.chart.back.get_visible()
    assert "it gives back what it took, and the water changes do more" in carbon.sentence
    assert carbon.result.now > carbon.result.now_without


def test_more_carbon_lasts_longer(carbon):
    ends = []
    for grams in (50, 100, 150, 200):
        carbon.set(mass=grams)
        ends.append(carbon.result.gone_on)
    assert np.all(np.diff(ends) > 0.0)


def test_twice_the_flow_hardly_matters(carbon):
    carbon.set(flow=600)
    at_once = carbon.result.now
    carbon.set(flow=1200)
    assert carbon.result.now == pytest.approx(at_once, rel=0.01)
