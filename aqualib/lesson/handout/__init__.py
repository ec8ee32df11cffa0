"""Handouts: pages to print and files to load, made from what the lessons worked out."""

from __future__ import annotations

from aqualib.lesson.handout.from_sums import care_from_sums
from aqualib.lesson.handout.icalendar import as_icalendar
from aqualib.lesson.handout.page import as_page
from aqualib.lesson.handout.saving import keep, save
