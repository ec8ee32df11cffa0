"""Lesson 07's audit panel: the map shows the numbers, and the numbers are the equations'."""

import numpy as np
import pytest

from aqualib.lesson.panels.audit_a_rule import audit_panel
from aqualib.parameters import parameter
from aqualib.tank.sizing.audit import audit_rule
from aqualib.tank.sizing.carries import what_it_carries
from aqualib.tank.sizing.system import FilterSystem
from aqualib.units import Q, set_units

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


def test_a_limit_beyond_the_map_is_not_named_on_it(panel):
    assert panel.picture.chart.reading.get_visible()
    panel.set(rule=0.1, ammonia=0.05)
    assert panel.result.best_here < 0.05
    assert not panel.picture.chart.reading.get_visible()


def test_verdict_follows_the_region(panel):
    low, high = panel.result.low_here, panel.result.high_here
    for share, verdict in ((0.9 * low, "holds"), (low * 1.2, "depends"), (1.3 * high, "fails")):
        panel.set(feed=round(2 * share, 1))
        assert panel.result.verdict == verdict
        assert {"holds": "even at worst", "depends": "depends", "fails": "fails"}[
            verdict
        ] in panel.sentence


def test_band_is_that_of_the_capacity_panel(panel):
    """Same surface, same doubts; there the water holds less oxygen, which costs a few per cent."""
    panel.set(rule=1, salinity=0, protein=45)
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
    assert "lb per 100 US gal" in panel.sentence
    assert "oz per 100 US gal a day" in panel.view.answer[1]
    chart = panel.picture.chart
    ticks = {t.get_text(): t.get_position()[0] for t in chart.regions[0].axes.get_xticklabels()}
    # Where a tick says 0.1 ounces for 100 gallons, the map means as many grams for 100 litres.
    grams = Q(0.1, "oz/hectogallon/day").m_as("g/hL/day")
    assert 0.05 * 2500 ** ticks["0.1"] == pytest.approx(grams)


def test_the_rule_starts_as_the_trade_says_it(panel):
    row = parameter("media_rule")
    assert row.basis == "common practice"
    assert panel.controls["rule"].start == 2.0
    assert panel.controls["salinity"].start == 35.0
