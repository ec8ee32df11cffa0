"""The plan: my tank, my filter, and the whole answer."""

from __future__ import annotations

from aqualib.tank.plan.assumed import Assumption
from aqualib.tank.plan.best_filling import Stack, best_stack
from aqualib.tank.plan.changes import ranked_changes
from aqualib.tank.plan.doubts import Unknown, widest_unknowns
from aqualib.tank.plan.first_weeks import Dated, StartUp, dated_start
from aqualib.tank.plan.in_lessons import numbers_for_lessons
from aqualib.tank.plan.keeping import load_system, save_system
from aqualib.tank.plan.many_tanks import Refused, headings, plans_of, system_of_row
from aqualib.tank.plan.nothing_open import Filled, filled
from aqualib.tank.plan.parts import (
    Carbon,
    Care,
    Filter,
    Hose,
    Lamp,
    Pump,
    Readings,
    Stock,
    Tank,
    Tray,
    Water,
)
from aqualib.tank.plan.spent_in_bags import Bags, chemical_bags
from aqualib.tank.plan.system import System, example_system
from aqualib.tank.plan.what_it_buys import Change, gains
from aqualib.tank.plan.what_it_does import VERDICTS, Outcome, outcome, verdict_on
from aqualib.tank.plan.whole_answer import FilterPlan, make_plan
from aqualib.tank.plan.written import as_json, as_table, from_json, from_table, system_schema
