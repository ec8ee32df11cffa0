"""The calendar of the invented tank holds what the lessons work out, and nothing typed."""

import re
from datetime import date, timedelta

import pytest

from aqualib.lesson.handout.first_of_all import interval_words
from aqualib.lesson.handout.from_sums import care_of, pads_due
from aqualib.lesson.tank_sheet import tank_sheet
from aqualib.parameters import parameter
from aqualib.tank.plan import System, Tray, example_system, make_plan
from aqualib.tank.plan.parts import Carbon, Filter, Lamp
from aqualib.tank.upkeep import days_of, steady_peak, usual_tasks
from aqualib.units import Q

START = date(2030, 3, 2)


@pytest.fixture(scope="module")
def care():
    return care_of(plan_of(example_system()))


def on_the_sheet(capsys, line, pattern):
    tank_sheet(line)
    return float(re.search(pattern, capsys.readouterr().out.splitlines()[-1])[1])


def test_pads_and_carbon_are_due_as_the_sheet_says(care, capsys):
    # The face is half full on day 51, and the tank is cleaned every 35 days.
    assert care["rinse_coarse_every"] < on_the_sheet(capsys, "05", r"day (\d+)")
    assert care["rinse_coarse_every"] == parameter("cleaning_interval").value
    day = on_the_sheet(capsys, "10", r"day (\d+)")
    assert care["carbon_every"] == pytest.approx(day, abs=1)


def plan_of(system):
    return make_plan(system, START, doubt=False, changes=False)


def test_the_calendar_keeps_the_interval_of_the_headline():
    """Who cleans as the calendar says has what the page says is carried, or more."""
    for days, kept in ((20, 20), (35, 35), (200, 56)):
        told = example_system().changed("care", clean_every=Q(days, "day"))
        plan = plan_of(told)
        assert set(pads_due(plan).values()) == {kept, min(kept, int(plan.due.m_as("day")))}
        assert care_of(plan)["settling_every"] == kept
        assert f"cleaning every {days} days (as you told)" in interval_words(plan)
        assert ("the calendar has it every 56" in interval_words(plan)) == (days == 200)
        followed = plan_of(told.changed("care", clean_every=Q(kept, "day")))
        assert followed.carried.best >= plan.carried.best
    assert "every 35 days (assumed)" in interval_words(plan_of(System()))


def test_media_are_cleaned_a_part_at_a_time(care):
    """A fifth each 90 days: all of them in some 15 months (our choice, no source)."""
    assert (care["media_share"], care["media_every"]) == (0.2, 90)
    assert "media_share" not in care_of(
        plan_of(System(filter=Filter((Tray("fine pad", Q(9, "cm")),))))
    )


def test_of_two_pads_of_one_grade_the_earlier_counts():
    trays = [Tray(grade, Q(40, "mm")) for grade in ("fine pad", "coarse pad", "fine pad")]
    plan = plan_of(System(filter=Filter(tuple(trays), width=Q(16, "cm"))))
    first, second = (plan.now.due_of[f"fine {n}"] / 86400 for n in (1, 2))
    assert first < 0.1 * second
    assert pads_due(plan) == {"coarse": 35, "fine": int(first)}


def test_so_much_water_just_holds_the_limit(care):
    volume, share = plan_of(example_system()).water, care["change"]
    made = on_paper() * Q(care["change_every"], "day")
    peak = steady_peak(made, float(share / volume), parameter("fill_nitrate").quantity)
    assert peak.m_as("mg/L") == pytest.approx(parameter("nitrate_limit").value, rel=1e-3)


@pytest.mark.parametrize(
    ("system", "left_out"),
    [
        (System(), "top_up lamp_every carbon"),
        (
            example_system()
            .changed("care", change=Q(0, "percent"))
            .changed("stock", food=Q(0, "g/day")),
            "change",
        ),
        (System(filter=Filter((Tray("porous rings", Q(90, "mm")),))), "rinse_coarse_every"),
    ],
)
def test_what_is_not_there_is_left_out(system, left_out):
    care = care_of(plan_of(system))
    assert set(left_out.split()) & set(care) == set()
    assert usual_tasks(START, **care)


def test_where_no_change_holds_the_limit_the_keepers_own_stays():
    """New water that stands at the limit itself cannot hold it."""
    fed = example_system().changed("water", tap_nitrate=Q(60, "mg/L"))
    care = care_of(plan_of(fed))
    assert care["change"].m_as("L") == pytest.approx(0.3 * 190, rel=1e-3)
    assert care["change_every"] == 14


def test_extremes_still_make_a_calendar():
    """A lamp of three hundred years, a carbon that nobody feeds, a puddle that dries."""
    odd = System(
        lamp=Lamp(hours_burnt=Q(1e5, "h"), hours_a_day=Q(1, "h")), carbon=Carbon(Q(1e5, "g"))
    )
    for system in (odd, odd.changed("tank", length=Q(1, "cm"), width=Q(1, "cm"), water=Q(1, "L"))):
        tasks = usual_tasks(START, **care_of(plan_of(system)))
        (lamp,) = (t for t in tasks if "lamp" in t.what)
        assert lamp.first == START


def on_paper():
    """0.092 times protein is ammonia nitrogen; 4.43 times that is nitrate."""
    grams = 0.092 * parameter("food_protein").bare * parameter("tank_feed").quantity
    return (grams * (14.007 + 3 * 15.999) / 14.007 / parameter("tank_volume").quantity).to(
        "mg/L/day"
    )


def test_the_lamp_counts_from_the_day_on_which_it_was_new(care):
    (lamp,) = (t for t in usual_tasks(START, **care) if "lamp" in t.what)
    lit = parameter("lamp_hours").value / 24
    assert (lamp.first - START).days == pytest.approx(
        parameter("lamp_life").value / 24 - lit, abs=1
    )


def test_a_year_of_it_never_has_two_pads_on_one_day(care):
    tasks = [task for task in usual_tasks(START, **care) if task.what.startswith("Rinse")]
    assert len(tasks) == 3
    assert max(map(len, days_of(tasks, START, START + timedelta(365)).values())) == 1
