"""Lesson 05's panel: the section is to scale, the loads are the run's, order changes the days."""

import numpy as np
import pytest

from aqualib.filtration.capture.pads import pad, settling_space
from aqualib.filtration.capture.run import clog_run
from aqualib.filtration.hydraulics.pump import PumpCurve
from aqualib.lesson.charts.filling_filter import FULL_BAR
from aqualib.lesson.panels import staging_the_solids as lesson
from aqualib.lesson.panels.pump_and_loop import Loop
from aqualib.parameters import parameter
from aqualib.units import Q, number

SETTINGS = [
    {},
    {"day": 150, "tray_1": "fine", "tray_3": "coarse"},
    {"tray_2": "empty", "width": 40, "depth": 20, "settling": 80},
    {"tray_1": "empty", "tray_2": "empty", "tray_3": "empty", "day": 90},
    {"fines": "many", "day": 180, "production": 5},
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
    assert sides(chart.section.water)[0] == pytest.approx(result.shape.width)
    for tray in chart.section.pads:
        assert sides(tray)[1] == pytest.approx(result.shape.depth)
    space = chart.section.floors[1] - chart.section.floors[0]
    assert space == pytest.approx(result.shape.settling + 6.0)


@pytest.mark.parametrize("settings", SETTINGS)
def test_dirt_and_bars_show_the_result(panel, settings):
    panel.replay(**settings)
    chart, result = panel.picture.chart, panel.result
    for at, stage in enumerate(result.stages):
        dirt = chart.section.dirt[at]
        assert dirt.get_visible() == (stage.grade != "empty")
        if at and stage.filled:
            reach = sides(dirt)[0] / sides(chart.section.pads[at - 1])[0]
            assert reach == pytest.approx(max(stage.filled))
        length = sides(chart.bars[at])[0] / FULL_BAR
        assert length == pytest.approx(min(stage.fullness, 1.3))
    assert chart.due_line.get_xdata()[0] == chart.left + FULL_BAR


def plumbing(flow):
    """The example loop, each part as a learner would put it in."""
    loop = Loop(0.016, 3.0, 4.0, 0.0, parameter("canister_losses").value)
    return Q(loop.plumbing(flow.m_as("m**3/s")), "m")


def test_loads_and_layers_equal_the_public_run(panel):
    panel.set(day=90, width=25, depth=40, settling=50, production=1)
    area, depth = Q(np.pi / 4 * 25**2, "cm**2"), Q(40, "mm")
    pads = [pad(grade, area, depth) for grade in ("coarse", "medium", "fine")]
    run = clog_run(
        [settling_space(area, Q(50, "mm")), *pads],
        PumpCurve.from_limits(
            parameter("pump_rated_head").quantity, parameter("pump_rated_flow").quantity
        ),
        [plumbing],
        Q(1, "g/day"),
        parameter("tank_volume").quantity,
        Q(180, "day"),
        parameter("tank_temperature").quantity,
    )
    theirs = [np.interp(90, run.time.m, series) for series in run.mass.m.sum(axis=-1).T]
    ours = [stage.grams for stage in panel.result.stages]
    assert ours == pytest.approx(theirs, rel=1e-6)
    layers = [np.interp(90, run.time.m, series) for series in run.filled[:, 2].T]
    assert panel.result.stages[2].filled == pytest.approx(layers, rel=1e-6)
    assert panel.result.due == pytest.approx(run.cleaning_due.m, rel=1e-6)


@pytest.mark.parametrize("settings", SETTINGS)
def test_no_dirt_is_lost_or_made(panel, settings):
    panel.replay(**settings)
    result = panel.result
    made = result.shape.production * result.day
    afloat = result.suspended * parameter("tank_volume").value / 1000.0
    c = {name: control.bare for name, control in panel.controls.items()}
    trays = tuple(c.pop(f"tray_{at}") for at in (1, 2, 3))
    day = c.pop("day")
    run = lesson.weeks(lesson.Stack(trays, **c))
    lost = 1000.0 * lesson.on_day(run, run.lost, day)
    assert result.caught + afloat + lost == pytest.approx(made, rel=1e-9)


def test_order_changes_days_but_not_what_one_pass_holds(panel):
    days, shares = [], []
    for trays in (("coarse", "medium", "fine"), ("fine", "medium", "coarse")):
        panel.set(**{f"tray_{at}": grade for at, grade in enumerate(trays, start=1)})
        days.append(panel.result.due)
        shares.append(panel.result.one_pass)
    assert shares[0] == pytest.approx(shares[1], rel=1e-12)
    assert days[0] > 2.0 * days[1]


def test_fine_first_leaves_the_others_idle_and_the_flow_falls_late(panel):
    panel.set(tray_1="fine", tray_3="coarse", day=13)
    stages = {stage.grade: stage for stage in panel.result.stages}
    assert 0.9 < stages["fine"].fullness < 1
    assert stages["coarse"].fullness < 0.01
    # The dirt is on the face: most of it in the first eighth of the pad.
    assert stages["fine"].filled[0] > 10 * stages["fine"].filled[3]
    assert panel.result.flow > 0.9 * panel.result.flows[0]
    panel.set(day=150)
    assert panel.result.flow < 0.5 * panel.result.flows[0]
    assert "tray 1" in panel.sentence


def test_the_face_in_the_sentence_is_half_full_on_the_day_it_is_due(panel):
    panel.set(day=round(panel.result.due))
    (full,) = (s for s in panel.result.stages if s.grade == "coarse")
    assert full.face == pytest.approx(parameter("pad_deposit_limit").value, abs=0.01)
    assert "1 (coarse) 50 %" in panel.sentence


def test_empty_trays_are_told_as_such_and_not_as_pads(panel):
    panel.set(tray_2="empty")
    assert panel.result.stages[2].grams == 0.0
    assert "2 (empty)" in panel.sentence
    assert "3 (fine)" in panel.sentence
    panel.set(tray_1="empty", tray_3="empty")
    assert "No pad at all" in panel.sentence
    assert "tray" not in panel.sentence
    panel.set(settling=10)
    assert panel.result.cause == "the settling space is full"


def test_a_cause_names_the_right_tray(panel):
    panel.set(tray_1="empty", tray_2="fine", tray_3="coarse")
    assert panel.result.cause == "the face of the fine pad in tray 2 is half full"


def test_the_two_views_of_how_fine_dirt_is_are_the_published_ones(panel):
    """95 % of particles and 40 to 70 % of the mass below 20 µm; or an exponent of 3.4."""
    few, many = panel.controls["fines"].words.values()
    assert "12 %" in few
    assert 40 < float(many.split()[2]) < 70
    days = [panel.result.due]
    panel.set(fines="many")
    days.append(panel.result.due)
    assert days[1] > 1.2 * days[0]


def test_what_the_trade_says_stands_where_the_sum_allows_longer(panel):
    habit = "Dirt rots: clean every 4 to 8 weeks (practice, no source)."
    assert habit in panel.sentence
    panel.set(tray_1="fine")
    assert habit not in panel.sentence
    panel.set(production=0.2, width=40)
    assert habit in panel.sentence


def test_day_and_clarity_stand_together_whatever_the_day(panel):
    """The day due is that of the cleaning before, so it does not count down with the slider."""
    due = f"day {number(panel.result.due, 2)} · water "
    for day, what in ((0, "Cleaning is due on"), (45, "Cleaning is due on"),
                      (120, "Cleaning was due on")):  # fmt: skip
        panel.set(day=day)
        assert panel.view.answer[0] == what
        clarity = number(panel.result.suspended, 2)
        assert panel.view.answer[1] == f"{due}{clarity} mg/L of dirt"
    panel.set(day=45, tray_1="empty", tray_2="empty", tray_3="empty")
    clear, dirty = (float(words.split()[-4]) for words in (f"{due}{clarity} mg/L of dirt",
                                                           panel.view.answer[1]))  # fmt: skip
    assert dirty > 2 * clear


def test_little_dirt_needs_no_cleaning_in_half_a_year(panel):
    panel.set(production=0.2, width=40)
    assert panel.result.due == float("inf")
    assert panel.view.answer[0] == "No cleaning due by"
    assert panel.view.answer[1].startswith("day 180 · water ")
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
