"""What whoever leads a group needs: parts of a workshop, a table's plan, marked work."""

from __future__ import annotations

from aqualib.lesson.leading.form_and_page import TablePlan, table_plan
from aqualib.lesson.leading.marked_work import assignments, given, is_right
from aqualib.lesson.leading.workshop_part import what_was_seen
