"""The calendar of the invented tank holds what the lessons work out, and nothing typed."""

import re
from datetime import date, timedelta

import numpy as np
import pytest

from aqualib.lesson.handout.from_sums import care_from_sums, pads_due, weekly_change
from aqualib.lesson.tank_sheet import tank_sheet, weeks_of_dirt
from aqualib.parameters import parameter
from aqualib.tank.upkeep import days_of, steady_peak, usual_tasks
from aqualib.units import Q

START = date(2030, 3, 2)


@pytest.fixture(scope="module")
def care():
    return care_from_sums(START)


def on_the_sheet(capsys, line, pattern):
    tank_sheet(line)
    return float(re.search(pattern, capsys.readouterr().out.splitlines()[-1])[1])


def test_pads_and_carbon_are_due_as_the_sheet_says(care, capsys):
    day = on_the_sheet(capsys, "05", r"day (\d+)")
    assert care["rinse_coarse_every"] == pytest.approx(day, abs=1)
    day = on_the_sheet(capsys, "10", r"day (\d+)")
    assert care["carbon_every"] == pytest.approx(day, abs=1)


def test_pads_are_due_half_full_or_after_the_longest_time_of_the_trade():
    run = weeks_of_dirt()
    due = pads_due(run)
    longest = 7 * parameter("filter_cleaning").high
    assert due["coarse"] == int(run.cleaning_due.m_as("day")) < longest
    assert due["medium"] == due["fine"] == longest
    days = np.asarray(run.time.m_as("day"))
    medium = np.interp(longest, days, np.asarray(run.fullness)[:, run.stages.index("medium")])
    assert medium < 1


def test_so_much_water_just_holds_the_limit(care):
    volume, share = parameter("tank_volume").quantity, care["change"]
    made = on_paper() * Q(7, "day")
    peak = steady_peak(made, float(share / volume), parameter("fill_nitrate").quantity)
    assert peak.m_as("mg/L") == pytest.approx(parameter("nitrate_limit").value)
    assert weekly_change() == care["change"]


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
