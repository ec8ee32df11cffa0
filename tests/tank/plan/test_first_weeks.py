"""The dated start: days of the model, a dose by hand, and words by date."""

import math
from datetime import date

import pytest
from plan_systems import college

from aqualib.draws import Span
from aqualib.lesson.tank_sheet import start_up as of_lesson_03
from aqualib.parameters import parameter
from aqualib.tank.plan import (
    Filter,
    StartUp,
    Stock,
    System,
    Tank,
    Tray,
    Water,
    dated_start,
    example_system,
    filled,
    make_plan,
    outcome,
)
from aqualib.tank.plan.first_weeks import start_up, stocking_stop
from aqualib.units import Q, from_si

FIRST = date(2030, 3, 2)


def whole_of(system):
    return filled(system)[0]


def of(system, *, doubt=False):
    whole = whole_of(system)
    return start_up(whole, outcome(whole), doubt=doubt)


def test_the_example_is_ready_on_the_day_of_lesson_03():
    found = of(example_system())
    assert found.ready.best == pytest.approx(of_lesson_03().ready_day, rel=0.03)


def test_the_band_holds_the_day_and_more_seed_brings_it_forward():
    band = of(example_system(), doubt=True).ready
    assert band.low < of(example_system()).ready.best < band.high
    third = of(example_system().changed("care", seed="third")).ready.best
    assert third < of(example_system()).ready.best / 2


def test_the_dose_by_hand():
    # 3.5 g x 0.43 x 0.092 = 0.1385 g of nitrogen; NH4Cl is 53.489 / 14.007 of that.
    assert from_si(of(example_system()).dose, "g") == pytest.approx(
        3.5 * 0.43 * 0.092 * 53.489 / 14.007, rel=1e-3
    )


def test_the_lines_are_the_animals():
    fresh, sea = of(example_system()), of(example_system(marine=True))
    assert fresh.nitrite_line == pytest.approx(parameter("safe_nitrite").bare)
    assert sea.nitrite_line == pytest.approx(parameter("safe_nitrite_sea").bare)
    assert sea.ammonia_line < fresh.ammonia_line


def test_a_load_the_model_cannot_speak_of_is_refused_in_words():
    """Invented: a food that a filter is taken to carry, and that no model of weeks was made for."""
    whole, _ = filled(college().changed("stock", food=Q(60000, "g/day")))
    now = outcome(whole)
    able = now._replace(carried=now.carried._replace(feed=Span(*3 * (2.0 * whole.feed,))))
    heavy = start_up(whole, able, doubt=False)
    assert heavy.ready is None
    assert "load" in heavy.refused


def test_a_filter_ripens_for_no_more_than_it_carries():
    carried = outcome(filled(example_system())[0]).carried.feed.best
    much = of(example_system().changed("stock", food=Q(9, "g/day")))
    just = of(example_system().changed("stock", food=Q(carried, "kg/s").to("g/day")))
    assert much.dose == pytest.approx(just.dose, rel=0.01)
    assert much.ready.best == pytest.approx(just.ready.best, abs=1)
    nothing = of(System(filter=Filter((Tray("nothing", Q(5, "mm")),), "box")))
    assert (nothing.ready, nothing.dose) == (None, 0.0)
    assert "carries no food" in nothing.refused


def test_without_flow_nothing_ripens():
    still = of(example_system().changed("hose", lift=Q(3, "m")))
    assert still.ready is None
    assert "No water flows" in still.refused


def test_the_dates_follow_the_days():
    found = StartUp(Span(12.0, 20.0, 30.0), "", 1e-3, 1e-3, 1e-4)
    steps = dated_start(FIRST, found, "1 g")
    assert [step.day.isoformat() for step in steps] == [
        "2030-03-02", "2030-03-05", "2030-03-14", "2030-03-22", "2030-03-29", "2030-03-29",
        "2030-04-01", "2030-04-05"]  # fmt: skip
    assert "1 g of ammonium chloride" in steps[0].words
    assert steps[3].words.startswith("GO only if")
    assert "lamp may burn" in " ".join(step.words for step in steps[4:6])


@pytest.mark.parametrize(("given", "thirds", "days"), [(5.0, 2, 14), (9.0, 1, 7), (13.0, 0, 7)])
def test_stocking_ends_at_what_the_filter_carries(given, thirds, days):
    """By hand: 4 g carried are over two thirds of 5 g, over one of 9 g, under one of 13 g."""
    stop = stocking_stop(given, 4.0, "4 g a day")
    found = StartUp(Span(12.0, 20.0, 30.0), "", 1e-3, 1e-3, 1e-4)
    steps = dated_start(FIRST, found, "1 g", stop)
    go = next(step for step in steps if step.words.startswith("GO only if"))
    end = next(step for step in steps if step.words.startswith("Stop here: 4 g a day"))
    more = [
        step
        for step in steps
        if step.words.startswith("If GO was a week ago or more: the next third")
    ]
    assert (stop.thirds, (end.day - go.day).days, len(more)) == (thirds, days, max(thirds - 1, 0))
    assert ("only animals that eat 4 g a day" in go.words) == (thirds == 0)
    assert all(step.day < end.day for step in more)


def test_where_there_is_no_lamp_none_is_spoken_of():
    found = StartUp(Span(12.0, 20.0, 30.0), "", 1e-3, 1e-3, 1e-4)
    words = " ".join(step.words for step in dated_start(FIRST, found, "1 g", lamp=False))
    assert "lamp" not in words


@pytest.mark.parametrize(
    ("ready", "count"),
    [
        (None, 0),
        (Span(math.inf, math.inf, math.inf), 0),
        (Span(40.0, math.inf, math.inf), 0),
        (Span(1.0, 1.2, math.inf), 7),
        (Span(1.0, 1.2, 2.0), 8),
    ],
    ids=["refused", "never", "hardly", "late", "at once"],
)
def test_nobody_doses_towards_a_day_that_never_comes(ready, count):
    steps = dated_start(FIRST, StartUp(ready, "", 1e-3, 1e-3, 1e-4), "1 g")
    assert len(steps) == count
    assert [step.day for step in steps] == sorted(step.day for step in steps)


def test_the_dose_has_its_stop_and_the_start_its_other_road():
    found = StartUp(Span(12.0, 20.0, 30.0), "", 1e-3, 1e-3, 1e-4)
    first, tests, *_ = dated_start(FIRST, found, "1 g")
    assert "leave it out while ammonia reads above 5 mg/L" in first.words
    assert "Are animals in already? Then no dose" in first.words
    assert "alkalinity below 80 mg/L" in tests.words
    of_the_sea = dated_start(FIRST, found, "1 g", salinity=35.0)[1]
    assert "alkalinity below 120 mg/L" in of_the_sea.words


def test_without_food_there_is_no_start_and_no_go():
    hungry = example_system().changed("stock", food=Q(0, "g/day"), solids=None)
    found = of(hungry)
    assert found.ready is None
    assert "Tell what your animals will eat" in found.refused
    assert dated_start(FIRST, found, "0 g") == ()


def test_a_dead_filter_does_not_pass():
    """Light stock: 0.3 g x 0.43 x 0.092 in 300 L is 0.040 mg N/L a day, 36 days to the limit."""
    light = System(
        tank=Tank(water=Q(300, "L")),
        water=Water(ph=7),
        stock=Stock(food=Q(0.3, "g/day")),
    )
    found = of(light)
    rise = 300 * 0.43 * 0.092 / 300  # mg/L in a day
    untouched = rise * found.ready.best
    line = from_si(found.ammonia_line, "mg/L")
    assert line == pytest.approx(untouched / 2, rel=0.01)
    assert line > parameter("ammonia_allowed").value
    # Of no weight where the dose is strong: there it is the limit of the animals.
    assert from_si(of(example_system()).ammonia_line, "mg/L") == pytest.approx(0.95, abs=0.01)


def test_nobody_is_told_to_seed_with_nothing():
    bare = example_system().changed("care", seed="none")
    none = make_plan(bare, FIRST, doubt=False, changes=False)
    some = make_plan(example_system(), FIRST, doubt=False, changes=False)
    assert none.dated_start("1 g", "3 g")[0].words.startswith("Begin, lamp off")
    assert some.dated_start("1 g", "3 g")[0].words.startswith("Seed it, lamp off")
