"""The lamp's panel: the picture shows the numbers, and the numbers are the equations'."""

import numpy as np
import pytest

from aqualib.filtration.ultraviolet.chamber import fluence_rate
from aqualib.filtration.ultraviolet.clearing import lamp_kill_rate, time_to_clear
from aqualib.filtration.ultraviolet.dose import delivered_fluence
from aqualib.filtration.ultraviolet.exposure import exposure_time_beside_tube
from aqualib.filtration.ultraviolet.inactivation import (
    ORGANISMS,
    inactivated_share,
    tabled_inactivation,
)
from aqualib.filtration.ultraviolet.lamp import lamp_output, output_share, service_hours, warming
from aqualib.lesson.charts.ultraviolet_chamber import DOSES, two_digits
from aqualib.lesson.panels.ultraviolet_lamp import GROWTH, LONG, lamp_panel, percent, span
from aqualib.parameters import parameter
from aqualib.units import Q, number, set_units

SETTINGS = [
    {},
    {"flow": 100, "power": 55, "clarity": 99, "hours": 0, "sleeve": 100, "shell": 60},
    {"flow": 3000, "power": 3, "clarity": 60, "hours": 18000, "sleeve": 50, "shell": 20},
    {"organism": "virus", "volume": 1000, "hours_a_day": 1},
    {"volume": 1000, "hours_a_day": 12},
]


@pytest.fixture
def lamp():
    panel = lamp_panel()
    yield panel
    panel.close()
    set_units("metric")


def amounts(panel):
    return {n: c.parameter.to_base(c.value) for n, c in panel.controls.items() if n != "organism"}


@pytest.mark.parametrize("settings", SETTINGS)
def test_dose_is_the_public_functions(lamp, settings):
    lamp.replay(**settings)
    values = amounts(lamp)
    dose = delivered_fluence(
        Q(values["power"], "W"),
        Q(values["flow"], "m**3/s"),
        parameter("sleeve_radius").quantity,
        Q(values["shell"], "m"),
        values["clarity"],
        Q(values["hours"], "s"),
        values["sleeve"],
    )
    result = lamp.result
    assert list(result.one_pass.dose) == pytest.approx([end.m for end in dose])
    organism = lamp.controls["organism"].value
    steps = tabled_inactivation(organism, dose.best, at_least=True)
    assert result.one_pass.logs[1] == pytest.approx(steps)
    grows = organism in GROWTH
    growth = parameter("green_water_growth").quantity * (86400 / values["hours_a_day"] * grows)
    tank = Q(values["volume"], "m**3"), Q(values["flow"], "m**3/s")
    clear = time_to_clear(*tank, inactivated_share(steps), 0.99, growth)
    assert result.clearing.hours == pytest.approx(clear.m)
    assert result.aim.grows == grows
    rates = lamp_kill_rate(
        Q(values["power"], "W"),
        *tank[::-1],
        parameter("sleeve_radius").quantity,
        Q(values["shell"], "m"),
        values["clarity"],
        organism,
        Q(values["hours"], "s"),
        values["sleeve"],
    )
    seconds = 3600 * result.clearing.times[-1]
    for left, rate in zip(result.clearing.left, rates, strict=True):
        end = np.exp((growth - rate).m_as("1/s") * seconds)
        assert left[-1] == pytest.approx(min(end, 1.0))


@pytest.mark.parametrize("settings", SETTINGS)
def test_point_lies_on_the_line_and_in_the_band(lamp, settings):
    lamp.replay(**settings)
    chart, one_pass = lamp.picture.chart, lamp.result.one_pass
    (x,), (y,) = chart.point.get_data()
    assert (x, y) == pytest.approx((one_pass.flow, one_pass.dose.best))
    line = [np.log(part) for part in chart.line.get_data()]
    assert np.interp(np.log(x), *line) == pytest.approx(np.log(y))
    outline = np.log(chart.band.get_xy())
    low = np.interp(np.log(x), outline[:2, 0], outline[:2, 1])
    high = np.interp(np.log(x), outline[[3, 2], 0], outline[[3, 2], 1])
    assert np.exp([low, high]) == pytest.approx([one_pass.dose.low, one_pass.dose.high])
    assert DOSES[0] < one_pass.dose.low
    assert one_pass.dose.high < DOSES[1]


@pytest.mark.parametrize("organism", ORGANISMS)
def test_dashes_stand_at_the_dose_of_the_organism(lamp, organism):
    lamp.set(organism=organism)
    chart, result = lamp.picture.chart, lamp.result
    dose = Q(chart.aim.get_ydata()[0], "mJ/cm**2")
    share = inactivated_share(tabled_inactivation(organism, dose))
    assert share == pytest.approx(result.aim.share)
    assert share <= 0.99 + 1e-9
    assert result.aim.organism in chart.aim_name.get_text()
    assert f"{100 * share:.2g} %" in chart.aim_name.get_text()
    assert result.aim.organism in lamp.view.answer[0]


@pytest.mark.parametrize("settings", SETTINGS)
def test_tank_clears_to_one_in_a_hundred_at_the_mark(lamp, settings):
    lamp.replay(**settings)
    chart, result = lamp.picture.chart, lamp.result
    (x,), (y,) = chart.cleared.get_data()
    assert y == pytest.approx(1.0)
    assert x * result.clearing.times[-1] == pytest.approx(result.clearing.hours)
    assert x <= 1.0 + 1e-9
    curve = chart.left.get_data()
    assert np.exp(np.interp(x, curve[0], np.log(curve[1]))) == pytest.approx(1.0, rel=1e-6)
    # Nothing clears faster than by killing all that passes.
    assert np.all(chart.fastest.get_ydata() <= curve[1] * (1 + 1e-9))
    low, best, high = result.clearing.left
    assert np.all(low >= best)
    assert np.all(best >= high)
    assert [float(m.get_text()) for m in chart.axis.marks] == pytest.approx(
        np.linspace(0.0, result.clearing.times[-1], 6)
    )


@pytest.mark.parametrize("settings", SETTINGS)
def test_section_is_to_scale_and_the_light_is_the_equation(lamp, settings):
    lamp.replay(**settings)
    chart, result = lamp.picture.chart, lamp.result
    water = chart.chamber.water.get_xy()
    assert np.ptp(water[:, 0]) == pytest.approx(2 * result.housing.shell)
    figure = lamp.picture.figure
    section = figure.axes[0]
    inches = section.get_window_extent().width, section.get_window_extent().height
    spans = np.ptp(section.get_xlim()), np.ptp(section.get_ylim())
    assert inches[0] / spans[0] == pytest.approx(inches[1] / spans[1], rel=1e-3)
    values = amounts(lamp)
    light = lamp_output(Q(values["power"], "W"), ageing=1, fouling=1)
    light = light * output_share(Q(values["hours"], "s")) * values["sleeve"]
    rest = (parameter("sleeve_radius").quantity, parameter("lit_length").quantity)
    rate = fluence_rate(light, Q(result.housing.radii, "mm"), *rest, values["clarity"])
    assert result.housing.rates == pytest.approx(rate.m_as("mW/cm**2"))
    assert result.housing.strength[0] == pytest.approx(
        float(output_share(Q(values["hours"], "s"))) * values["sleeve"]
    )


def test_sentence_tells_energy_warmth_age_and_the_limit(lamp):
    lamp.set(power=20, volume=100, hours_a_day=12, hours=6000)
    result = lamp.result
    assert result.upkeep.energy == pytest.approx(20 * 0.5 * 8.76)
    assert result.upkeep.warmer == pytest.approx(warming(Q(20, "W"), Q(100, "L")).m / 2)
    assert result.upkeep.days_left == pytest.approx((service_hours().m - 6000) / 12)
    most = lamp_output(Q(20, "W"), parameter("lamp_efficiency").high, 1, 1)
    soon = exposure_time_beside_tube(most, Q(0.5, "m"), parameter("lit_length").quantity)
    assert result.upkeep.seconds_to_limit == pytest.approx(soon.m)
    assert "uses 87.6 kWh a year" in lamp.sentence
    assert f"; due in {number(result.upkeep.days_left)} days" in lamp.sentence
    assert f"{two_digits(soon.m)} seconds" in lamp.sentence


def test_a_lamp_that_hardly_runs_is_due_by_its_age(lamp):
    """Eleven thousand days are thirty years: no seal lasts so long."""
    lamp.set(hours=0, hours_a_day=1)
    assert lamp.result.upkeep.days_left > parameter("lamp_oldest").value
    assert "; due by age in 3 years" in lamp.sentence


def test_warning_does_not_weaken_with_age(lamp):
    """A worn lamp in a dirty sleeve still gets the warning of a new one."""
    new = lamp.replay(hours=0, sleeve=100) and lamp.result.upkeep.seconds_to_limit
    lamp.set(hours=18000, sleeve=50)
    assert lamp.result.upkeep.seconds_to_limit == new
    assert "Never look at it bare" in lamp.sentence


def test_overdue_lamp_is_called_so(lamp):
    lamp.set(hours=9500)
    assert "; overdue" in lamp.sentence


def test_a_lamp_that_is_too_weak_never_clears_green_water(lamp):
    answer = lamp.replay(power=3, flow=100, clarity=60, sleeve=20, volume=1000, hours_a_day=6)
    assert answer.endswith("never: take a stronger lamp")
    assert "multiply faster than that" in lamp.sentence
    chart = lamp.picture.chart
    assert chart.answer.get_text() == "never"
    assert not chart.cleared.get_visible()
    lowest = chart.left.get_ydata().min()
    assert all(words.get_position()[1] < lowest - 20 for words in (chart.until, chart.answer))
    assert chart.left.get_ydata().max() <= 100.0
    assert lamp.result.clearing.times[-1] == pytest.approx(LONG)
    lamp.set(organism="tank_coliforms")
    assert chart.cleared.get_visible()
    assert "if no new ones come" in lamp.sentence


def test_beyond_the_table_it_says_at_least(lamp):
    lamp.set(organism="giardia", flow=100, power=55)
    assert "at least 99.99 % inactivated" in lamp.sentence
    lamp.set(organism="tank_coliforms", flow=600, power=9)
    assert "at least" not in lamp.sentence


def test_benchmarks_are_those_of_the_data(lamp):
    found = dict(lamp.result.benchmarks)
    assert found["white spot"] == 184
    # Of what lives in a tank, and no standard for drinking water.
    assert list(found) == ["fish bacteria", "white spot", "Trichodina"]
    labels = np.log10(list(found.values()))
    assert np.min(np.abs(np.diff(np.sort(labels)))) > 0.3, "names would run into each other"


def test_american_units_reach_axis_and_words(lamp):
    set_units("us")
    (x,), _ = lamp.picture.chart.point.get_data()
    assert x == pytest.approx(Q(lamp.values["flow"], "L/h").m_as("gal/h"))
    warm = lamp.result.upkeep.warmer
    assert f"warms by up to {1.8 * warm:.2g} °F a day ({warm:.2g} °C a day)" in lamp.sentence


@pytest.mark.parametrize(
    ("steps", "text"),
    [
        (0.0, "0 %"),
        (0.002, "0.46 %"),
        (0.3, "50 %"),
        (1, "90 %"),
        (2, "99 %"),
        (2.77, "99.8 %"),
        (3, "99.9 %"),
        (3.3, "99.95 %"),
        (4, "99.99 %"),
    ],
)
def test_percent_has_as_many_nines_as_it_needs(steps, text):
    assert percent(steps) == text


def test_times_in_words():
    assert [span(hours) for hours in (0.25, 3.14, 100)] == ["15 minutes", "3.1 hours", "4.2 days"]
