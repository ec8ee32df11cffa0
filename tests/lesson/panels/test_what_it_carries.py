"""Lesson 07's first panel: bars, whiskers and drawing are the numbers of `what_it_carries`."""

import numpy as np
import pytest

from aqualib.lesson.charts.what_it_carries import FLOORS
from aqualib.lesson.panels.staging_the_solids import START, Stack, held, weeks
from aqualib.lesson.panels.what_it_carries import carries_panel, pads_volume
from aqualib.parameters import parameter
from aqualib.tank.sizing.carries import LIMITS, what_it_carries
from aqualib.tank.sizing.system import FilterSystem
from aqualib.units import Q, display_unit, set_units

PARTS = ("surface", "filter_oxygen", "tank_oxygen", "dirt")


@pytest.fixture
def panel():
    made = carries_panel()
    yield made
    set_units("metric")
    made.close()


def system_of(panel):
    """The same settings for the public function."""
    c = {name: control.value for name, control in panel.controls.items()}
    return FilterSystem(
        media_mass=Q(c["media"], "kg"),
        volume=Q(c["volume"], "L"),
        flow=Q(c["flow"], "L/h"),
        temperature=Q(c["temperature"], "degC"),
        salinity=c["salinity"],
        total_ammonia_nitrogen=Q(c["ammonia"], "mg/L"),
        area_per_mass=Q(c["area_per_mass"], "m**2/kg"),
        rock_mass=Q(c["rock"], "kg"),
        surface_exchange=Q(c["exchange"], "1/h"),
        dirt_held=Q(c["dirt"], "g"),
        cleaning_interval=Q(c["interval"], "day"),
        body_mass=Q(c["body"], "g"),
        pad_area=Q(c["pads"], "m**2"),
    )


SETTINGS = [
    {},
    {"salinity": 35, "media": 8, "rock": 20},
    {"media": 20, "area_per_mass": 1.5, "dirt": 500, "exchange": 0.1},
    {"media": 20, "ammonia": 2, "dirt": 500, "exchange": 10, "flow": 20, "volume": 1000},
    {"body": 50, "temperature": 12, "interval": 180},
]


@pytest.mark.parametrize("settings", SETTINGS)
def test_numbers_are_those_of_the_public_function(panel, settings):
    panel.replay(**settings)
    expected, result = what_it_carries(system_of(panel)), panel.result
    assert result.limiting == expected.limiting
    for part in PARTS:
        ours, theirs = result.parts[part], getattr(expected, part)
        np.testing.assert_allclose(ours, [end.m for end in theirs], rtol=1e-9)
    np.testing.assert_allclose(result.carried, [end.m for end in expected.feed], rtol=1e-9)
    np.testing.assert_allclose(result.stock, [end.m for end in expected.stock], rtol=1e-9)
    assert LIMITS[expected.limiting] in panel.sentence
    assert f"{expected.feed.best.m:.2g}" in panel.view.answer[1]


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("settings", SETTINGS)
def test_bars_and_whiskers_are_the_numbers(panel, settings, system):
    set_units(system)
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    factor = Q(1, "g/day").m_as(display_unit("g/day", system))
    end = chart.axis.end
    for at, part in enumerate(PARTS):
        # The part that limits speaks for the filter.
        span = result.carried if part == result.smallest else result.parts[part]
        width = np.ptp(chart.bars.blocks[part].get_xy()[:, 0])
        assert width == pytest.approx(min(span.best * factor / end, 1.0))
        low, high = np.asarray(chart.bars.whiskers.get_xdata())[[7 * at, 7 * at + 3]]
        assert (low, high) == pytest.approx(
            (min(span.low * factor / end, 1.0), min(span.high * factor / end, 1.0))
        )
    food = chart.food.get_xdata()
    assert food[0] == food[1] == pytest.approx(result.feed * factor / end)
    assert float(chart.axis.numbers.marks[-1].get_text()) == pytest.approx(end)


@pytest.mark.parametrize("settings", SETTINGS)
def test_the_smallest_is_marked(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    smallest = min(PARTS, key=lambda part: result.parts[part].best)
    assert result.smallest == smallest
    np.testing.assert_array_equal(chart.mark.get_xy(), chart.bars.blocks[smallest].get_xy())
    assert chart.mark.get_xy()[:, 1].min() == FLOORS[smallest]
    assert chart.bold.get_text() == f"{result.names[smallest]}: limits"


def test_verdict_on_the_food(panel):
    low, _, high = panel.result.carried
    assert panel.result.verdict == "in doubt"
    panel.set(feed=np.floor(2 * low) / 2)
    assert panel.result.verdict == "carried"
    panel.set(feed=np.ceil(high) + 0.5)
    assert panel.result.verdict == "too much"
    assert "too much even at the high end" in panel.sentence
    assert "too much" in panel.picture.chart.food_name.get_text()
    assert panel.view.answer[1].endswith("feed less")


def test_tank_and_filter_are_drawn_to_one_scale(panel):
    panel.set(volume=300, media=10, dirt=200)
    section, result = panel.picture.chart.section, panel.result
    water = section.water.get_xy()
    length, depth = np.ptp(water, axis=0) / section.cm
    assert length * depth * 0.9 * depth == pytest.approx(300_000)
    for layer, litres in (
        (section.media, 10 / 0.45),
        (section.pads, result.equipment.pads_volume),
    ):
        width, height = np.ptp(layer.get_xy(), axis=0) / section.cm
        assert np.pi / 4 * width**2 * height == pytest.approx(1000 * litres)
    bar = np.ptp(section.bar.get_xdata()) / section.cm
    assert section.bar_name.get_text() == f"{bar:g} cm"


def due_with(solids, width, depth, settling):
    """The dirt in kg that a filter of three pads holds when it is due; sizes in m."""
    run = weeks(Stack(START, solids, width, depth, settling, "few"))
    return held(run, run.cleaning_due).sum()


def test_pads_are_drawn_as_those_of_the_filter_that_holds_so_much():
    """Of the filter that the row of `dirt_per_pad_litre` speaks of."""
    dirt = due_with(1e-3 / 86400, 0.25, 0.04, 0.05)
    litres = 3 * np.pi / 4 * 2.5**2 * 0.4
    assert pads_volume(dirt) == pytest.approx(litres, rel=0.01)


def test_the_slider_starts_with_what_the_example_s_filter_holds():
    rows = "solids_made", "filter_width", "filter_pad_depth", "settling_height"
    dirt = due_with(*(parameter(row).bare for row in rows))
    # To half a step of the slider.
    assert parameter("dirt_until_cleaning").bare == pytest.approx(dirt, abs=0.0025)


def test_flow_is_named_where_it_is_the_flow_that_limits(panel):
    panel.set(flow=20, media=20, area_per_mass=1.5, ammonia=0.05, dirt=500, exchange=10)
    assert panel.result.limiting == "flow"
    assert panel.picture.chart.bold.get_text().startswith(LIMITS["flow"])


def test_twice_the_media_nearly_twice_the_food(panel):
    panel.set(pads=0)
    once = panel.result.parts["surface"].best
    panel.set(media=2 * panel.values["media"])
    assert panel.result.parts["surface"].best == pytest.approx(2 * once, rel=0.02)
