"""Upkeep: what is to be done each week, and what does the water do meanwhile?"""

from __future__ import annotations

from aqualib.tank.upkeep.alkalinity import (
    alkalinity_after_changes,
    alkalinity_swing,
    alkalinity_used,
    bicarbonate_bill,
)
from aqualib.tank.upkeep.calendar import Task, days_of, usual_tasks
from aqualib.tank.upkeep.cleaning import (
    largest_safe_cleaning,
    peaks_after_cleaning,
)
from aqualib.tank.upkeep.doses import ammonia_solution_dose, ammonium_chloride_dose, salt_for_change
from aqualib.tank.upkeep.top_up import (
    evaporation,
    salinity_after_evaporation,
    salinity_topped_up_with,
    salt_to_raise,
)
from aqualib.tank.upkeep.water_changes import (
    after_water_changes,
    changes_to_reach,
    least_water,
    schedule_for_interval,
    share_needed,
    steady_peak,
    steady_trough,
)
