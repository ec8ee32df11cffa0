"""Lesson 04's panel: the section is to scale, the loads are the run's, order changes the days."""

import numpy as np
import pytest

from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.run import clog_run
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.lesson.charts.filling_filter import BARS_LEFT, FULL_BAR
from aqualib.lesson.panels import staging_the_solids as lesson
from aqualib.lesson.panels.pump_and_loop import Loop
from aqualib.parameters import parameter
from aqualib.units import Q

SETTINGS = [
    {},
    {"day": 150, "tray_1": "fine", "tray_3": "coarse"},
    {"tray_2": "empty", "width": 40, "depth": 20, "settling": 80},
    {"tray_1": "empty", "tray_2": "empty", "tray_3": "empty", "day": 90},
]


@pytest.fixture
def panel():
    made = lesson.filter_panel()
    yield made
    made.close()


def sides(polygon):
    return np.ptp(polygon.get_xy(), axis=0)


@pytest.mark.parametrize("settings", SETTINGS)
def test_section_is_to_scale(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    assert panel.picture.figure.axes[0].get_aspect() == 1.0
    assert sides(chart.section.water)[0] == pytest.approx(result.width)
    for tray in chart.section.pads:
        assert sides(tray)[1] == pytest.approx(result.depth)
    space = chart.section.floors[1] - chart.section.floors[0]
    assert space == pytest.approx(result.settling + 6.0)


@pytest.mark.parametrize("settings", SETTINGS)
def test_dirt_and_bars_show_the_result(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    heights = [result.settling, *[result.depth] * 3]
    for at, stage in enumerate(result.stages):
        filled = sides(chart.section.dirt[at])[1] / heights[at]
        assert filled == pytest.approx(min(stage.filled, 1.0))
        length = sides(chart.bars[at])[0] / FULL_BAR
        assert length == pytest.approx(min(stage.fullness, 1.5))
    assert chart.due_line.get_xdata()[0] == BARS_LEFT + FULL_BAR


def test_loads_equal_the_public_run(panel):
    panel.set(day=90)
    area, depth = Q(np.pi / 4 * 25**2, "cm**2"), Q(40, "mm")
    pads = [pad(grade, area, depth) for grade in ("coarse", "medium", "fine")]
    run = clog_run(
        [settling_space(area, Q(50, "mm")), *pads],
        PumpCurve.from_limits(Q(2.2, "m"), Q(1200, "L/h")),
        [lambda flow: Q(Loop(0.016, 3.0, 4.0, 0.0).plumbing(flow.m_as("m**3/s")), "m")],
        Q(1, "g/day"),
        Q(200, "L"),
        Q(180, "day"),
        Q(25, "degC"),
    )
    middle = int(np.argmin(np.abs(run.time.m - 90)))
    assert run.time.m[middle] == pytest.approx(90)
    theirs = run.mass.m.sum(axis=-1)[middle]
    ours = [stage.grams for stage in panel.result.stages]
    # The panel takes other steps through the weeks.
    assert ours == pytest.approx(theirs, rel=2e-3)
    assert panel.result.due == pytest.approx(run.cleaning_due.m, rel=2e-3)


@pytest.mark.parametrize("settings", SETTINGS)
def test_no_dirt_is_lost_or_made(panel, settings):
    panel.replay(**settings)
    result = panel.result
    made = result.production * result.day
    afloat = result.suspended * parameter("tank_volume").value / 1000.0
    assert result.caught + afloat == pytest.approx(made, rel=1e-9)


def test_order_changes_days_but_not_what_one_pass_holds(panel):
    days, shares = [], []
    for trays in (("coarse", "medium", "fine"), ("fine", "medium", "coarse")):
        panel.set(**{f"tray_{at}": grade for at, grade in enumerate(trays, start=1)})
        days.append(panel.result.due)
        shares.append(panel.result.one_pass)
    assert shares[0] == pytest.approx(shares[1], rel=1e-12)
    assert days[0] > 2.0 * days[1]


def test_fine_first_leaves_the_others_idle_and_the_flow_falls_late(panel):
    panel.set(tray_1="fine", tray_3="coarse", day=59)
    stages = {stage.grade: stage for stage in panel.result.stages}
    assert stages["fine"].fullness > 0.9
    assert stages["coarse"].fullness < 0.01
    assert panel.result.flow > 0.95 * panel.result.flows[0]
    panel.set(day=150)
    assert panel.result.flow < 0.1 * panel.result.flows[0]
    assert "tray 1" in panel.view.answer[1]


def test_empty_trays_hold_nothing_and_are_not_named(panel):
    panel.set(tray_2="empty")
    assert panel.result.stages[2].grams == 0.0
    assert "tray 2" not in panel.sentence
    assert "tray 3 (fine)" in panel.sentence


def test_a_cause_names_the_right_tray(panel):
    panel.set(tray_1="empty", tray_2="fine", tray_3="coarse")
    assert panel.result.cause == "the fine pad in tray 2 is full"
    panel.set(tray_1="empty", tray_2="empty", tray_3="empty")
    assert panel.result.cause == "the settling space is full"


def test_little_dirt_needs_no_cleaning_in_half_a_year(panel):
    panel.set(production=0.2, width=40)
    assert panel.result.due == float("inf")
    assert panel.view.answer[1] == "more than 180"
    assert "No cleaning is due" in panel.sentence


def test_point_lies_on_the_flow(panel):
    panel.set(tray_1="fine", day=107)
    chart = panel.picture.chart
    (x,), (y,) = chart.today.get_data()
    assert x == 107
    assert np.interp(x, *chart.flow.get_data()) == pytest.approx(y)


def test_the_weeks_are_worked_out_once_for_each_stack(panel):
    lesson.weeks.cache_clear()
    for day in range(0, 180, 10):
        panel.set(day=day)
    assert lesson.weeks.cache_info().misses <= 1


def test_kept_parts_follow_the_stack(panel):
    first = panel.view.png
    panel.set(tray_1="medium", tray_2="coarse", day=46)
    panel.reset()
    assert panel.view.png == first
