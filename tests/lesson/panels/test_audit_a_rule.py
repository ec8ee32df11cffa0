"""Lesson 08's audit panel: the map shows the numbers, and the numbers are the equations'."""

import numpy as np
import pytest

from aqualib.lesson.charts.rule_region import FOOD
from aqualib.lesson.panels.audit_a_rule import audit_panel
from aqualib.parameters import parameter
from aqualib.tank.load import daily_feed, stocking
from aqualib.tank.sizing.audit import audit_rule, nitrate_audit
from aqualib.tank.sizing.carries import what_it_carries
from aqualib.tank.sizing.system import FilterSystem
from aqualib.units import Q, display_unit, label, set_units

SETTINGS = [{}, {"salinity": 0, "protein": 30}, {"rule": 10, "temperature": 8}, {"volume": 20}]


@pytest.fixture
def panel():
    panel = audit_panel()
    yield panel
    panel.close()
    set_units("metric")


def rule_of(panel):
    """What the public function makes of the panel's controls."""
    value = {name: control.value for name, control in panel.controls.items()}
    return audit_rule(
        Q(value["rule"], "kg"),
        Q(100, "L"),
        value["protein"] / 100,
        Q(value["temperature"], "degC"),
        value["salinity"],
        Q(100 * value["feed"] / value["volume"], "g/day"),
        Q(value["ammonia"], "mg/L"),
        Q(value["area_per_mass"], "m**2/kg"),
    )


@pytest.mark.parametrize("settings", SETTINGS)
def test_panel_agrees_with_the_public_function(panel, settings):
    panel.replay(**settings)
    result, audit = panel.result, rule_of(panel)
    assert result.best_here == pytest.approx(audit.feed_density.m)
    assert result.area == pytest.approx(audit.area.m)
    assert result.rates[1] == pytest.approx(audit.areal_rate.m)
    assert result.rate_needed == pytest.approx(audit.areal_rate_needed.m)
    assert result.feed_density / result.best_here == pytest.approx(audit.load_share)


@pytest.mark.parametrize("settings", SETTINGS)
def test_lines_are_the_results_and_bound_the_regions(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    for name, line in chart.lines.items():
        across, up = line.get_data()
        food = 0.05 * 2500 ** np.asarray(across)
        assert food == pytest.approx(getattr(result, name))
        assert up == pytest.approx(result.celsius_grid)
    for place, name in enumerate(("low", "high")):
        right = chart.regions[place].get_xy()[len(result.celsius_grid) : -1, 0][::-1]
        wanted = np.clip(chart.lines[name].get_xdata(), 0, 1)
        assert right == pytest.approx(wanted)
    assert np.all(result.low <= result.best)
    assert np.all(result.best <= result.high)


def test_tank_and_limit_stand_where_the_numbers_say(panel):
    panel.set(feed=6, volume=120, temperature=21)
    chart, result = panel.picture.chart, panel.result
    assert result.feed_density == pytest.approx(5.0)
    (x,), (y,) = chart.point.get_data()
    assert 0.05 * 2500**x == pytest.approx(5.0)
    assert y == 21.0
    (x,), _ = chart.crossing.get_data()
    assert 0.05 * 2500**x == pytest.approx(result.best_here)
    assert np.interp(21.0, result.celsius_grid, result.best) == pytest.approx(
        result.best_here, rel=2e-3
    )


@pytest.mark.parametrize("settings", SETTINGS)
def test_nitrate_is_the_public_audit_and_the_strip_shows_what_a_fed_reactor_did(panel, settings):
    panel.replay(**settings)
    value, result = panel.values, panel.result
    feed = Q(100 * value["feed"] / value["volume"], "g/day")
    audit = nitrate_audit(Q(value["rule"], "kg"), Q(100, "L"), feed, value["protein"] / 100)
    assert result.media_rate == pytest.approx(audit.media_rate.m)
    assert result.reactor == (18.5, 36.0)
    # With the food at the two lines the media would have to do as much.
    for food, rate in zip(result.reactor_food, result.reactor, strict=True):
        again = nitrate_audit(
            Q(value["rule"], "kg"), Q(100, "L"), Q(food, "g/day"), value["protein"] / 100
        )
        assert again.media_rate.m == pytest.approx(rate)
    x = np.asarray(panel.picture.chart.reactor.get_xdata())[[0, 3]]
    wanted = np.clip(np.log(np.array(result.reactor_food) / 0.05) / np.log(2500), 0, 1)
    assert x == pytest.approx(wanted)


def test_two_verdicts_in_one_headline(panel):
    low, high = panel.result.low_here, panel.result.high_here
    hundreds = panel.values["volume"] / 100.0
    for food, ammonia in ((0.9 * low, "holds"), (low * 1.3, "depends"), (1.3 * high, "fails")):
        panel.set(feed=round(food * hundreds, 2))
        assert panel.result.verdict == ammonia
        assert panel.view.answer[1].startswith(ammonia)
    for rate, verdict in (
        (10, "only if fed"),
        (25, "like the best"),
        (50, "not even"),
    ):
        panel.set(feed=panel.values["feed"] * rate / panel.result.media_rate)
        assert panel.result.media_rate == pytest.approx(rate)
        assert verdict in panel.view.answer[1]
    assert "live rock nothing sure" in panel.sentence


@pytest.mark.parametrize(("salinity", "water"), [(0, "fresh"), (35, "marine")])
def test_light_and_heavy_stock_are_marked_where_they_eat(panel, salinity, water):
    panel.set(salinity=salinity)
    chart = panel.picture.chart
    for at, name in enumerate(("light", "heavy")):
        stock = stocking(Q(100, "L"), f"{name} {water}")
        warm = Q(panel.values["temperature"], "degC")
        food = daily_feed(stock.stock_mass, stock.body_mass, warm, stock.ration).m
        for marks in chart.posts:
            assert 0.05 * 2500 ** marks.get_xdata()[at] == pytest.approx(food)
        assert chart.stock_names[at].get_text() == name
    # The example lies between them and on none of the lines.
    result = panel.result
    assert result.stocks["light"] < result.feed_density < result.stocks["heavy"]
    nearest = min(abs(np.log(result.feed_density / end)) for end in
                  (result.low_here, result.best_here, result.high_here))  # fmt: skip
    assert nearest > 0.15


def test_band_is_that_of_the_capacity_panel(panel):
    """Same surface, same doubts; there the water holds less oxygen, which costs a few per cent."""
    panel.set(rule=1, salinity=0, protein=45, temperature=25)
    system = FilterSystem(
        media_mass=Q(2, "kg"),
        pad_area=Q(0, "m**2"),
        volume=Q(200, "L"),
        flow=Q(1e5, "L/h"),
        protein_fraction=0.45,
        temperature=Q(25, "degC"),
    )
    surface = what_it_carries(system).surface
    twice = 2 * panel.result.low_here, 2 * panel.result.best_here, 2 * panel.result.high_here
    assert twice == pytest.approx([end.m for end in surface], rel=0.08)


def test_shown_in_the_units_in_force(panel):
    set_units("us")
    panel.update()
    assert label(display_unit(FOOD, "us")) in panel.sentence
    chart = panel.picture.chart
    ticks = {t.get_text(): t.get_position()[0] for t in chart.fed.axes.get_xticklabels()}
    # Where a tick says 1 in the unit shown, the map means as many grams for 100 litres.
    grams = Q(1.0, display_unit(FOOD, "us")).m_as(FOOD)
    assert 0.05 * 2500 ** ticks["1"] == pytest.approx(grams)


def test_the_rule_starts_as_the_trade_says_it(panel):
    row = parameter("media_rule")
    assert row.basis == "common practice"
    assert panel.controls["rule"].start == 2.0
    assert panel.controls["salinity"].start == 35.0


def test_what_lesson_07_says_of_the_rule(panel):
    """About 0.6 g for 100 L of the sea (0.3 to 1.5), twice that in fresh water."""
    panel.set(temperature=25, protein=45)
    sea = panel.result
    assert sea.best_here == pytest.approx(0.6, abs=0.02)
    assert (sea.low_here, sea.high_here) == (
        pytest.approx(0.28, abs=0.02),
        pytest.approx(1.5, abs=0.05),
    )
    eaten = {}
    for kind in ("heavy marine", "light marine"):
        stock = stocking(Q(100, "L"), kind)
        eaten[kind] = daily_feed(stock.stock_mass, stock.body_mass, Q(25, "degC"), stock.ration).m
    assert sea.best_here / eaten["heavy marine"] == pytest.approx(0.5, abs=0.1)
    assert 4 < sea.best_here / eaten["light marine"] < 10
    panel.set(salinity=0)
    assert panel.result.best_here == pytest.approx(1.2, abs=0.02)
    # "The pads may well do more than the media."
    assert parameter("pad_area").value > sea.area
