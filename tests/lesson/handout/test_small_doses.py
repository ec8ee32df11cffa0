"""A dose that no kitchen scale shows is drawn from a stock, and holds what was asked."""

import re

import pytest
from plan_systems import nano

from aqualib.lesson.handout.plan_calendar import as_plan_calendar
from aqualib.lesson.handout.plan_words import first_weeks
from aqualib.lesson.handout.reminders import of_a_new_filter
from aqualib.lesson.handout.small_doses import daily, portion, stock_words
from aqualib.tank.plan import make_plan
from aqualib.units import Q


@pytest.mark.parametrize(("grams", "words"), [(0.51, "0.51 g"), (0.057, "5.7 mL of a stock")])
def test_the_portion_by_hand(grams, words):
    """10 g in 1 L are 0.01 g in a mL, so 0.057 g are in 5.7 mL; half a gram moves the scale."""
    assert portion(grams / 1000) == words
    assert ("away from children" in daily(grams / 1000)) == ("mL" in words)


def test_the_form_says_how_it_is_made():
    assert "dissolve 10 g in 1 L, label it, keep it from children" in stock_words()
    assert stock_words().endswith("1 mL of it holds 10 mg.")


def test_page_and_calendar_of_a_small_tank_give_what_the_sum_asks():
    plan = make_plan(nano().changed("stock", food=Q(0.05, "g/day")), doubt=False, changes=False)
    start = first_weeks(plan).lines[1].words
    drawn = float(re.search(r"Each day ([\d.]+) mL of a stock", start)[1])
    assert drawn * 0.01 == pytest.approx(1000 * plan.first_weeks.dose, rel=0.02)
    assert any("mL of a stock of ammonium" in task.what for task in of_a_new_filter(plan))
    until = plan.start.replace(year=plan.start.year + 1)
    assert "mL of a stock" in as_plan_calendar(plan, until, new=True)
