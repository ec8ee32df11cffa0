"""Handouts: pages to print and files to load, made from what the lessons worked out."""

from __future__ import annotations

from aqualib.lesson.handout.from_sums import care_of
from aqualib.lesson.handout.handing_out import (
    EXAMPLE_DAY,
    OnPage,
    hand_out,
    hand_out_care,
    plan_in_use,
)
from aqualib.lesson.handout.icalendar import as_icalendar
from aqualib.lesson.handout.page import as_page
from aqualib.lesson.handout.paper_form import as_paper_form
from aqualib.lesson.handout.plan_calendar import as_plan_calendar
from aqualib.lesson.handout.plan_numbers import as_plan_json, keep_plan, last_plan, read_plan
from aqualib.lesson.handout.plan_page import as_plan_page
from aqualib.lesson.handout.plan_text import as_plan_text
from aqualib.lesson.handout.saving import keep, save
from aqualib.lesson.handout.what_changed import what_changed
