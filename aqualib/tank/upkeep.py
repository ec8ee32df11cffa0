"""Upkeep: water changes, alkalinity, top-up, doses and cleaning of a tank that runs.

Each idea has a module of its own; this one holds them together.
"""

from __future__ import annotations

from aqualib.tank.alkalinity_bill import (
    alkalinity_after_changes,
    alkalinity_swing,
    alkalinity_used,
    bicarbonate_bill,
)
from aqualib.tank.doses import (
    ammonia_solution_dose,
    ammonium_chloride_dose,
    salt_for_change,
)
from aqualib.tank.least_water import (
    least_water,
    schedule_for_interval,
)
from aqualib.tank.safe_cleaning import (
    ammonia_after_cleaning,
    largest_safe_cleaning,
    peaks_after_cleaning,
)
from aqualib.tank.top_up import (
    evaporation,
    salinity_after_evaporation,
    salinity_topped_up_with,
    salt_to_raise,
)
from aqualib.tank.water_changes import (
    after_water_changes,
    changes_to_reach,
    share_needed,
    steady_peak,
    steady_trough,
)

__all__ = [
    "after_water_changes",
    "alkalinity_after_changes",
    "alkalinity_swing",
    "alkalinity_used",
    "ammonia_after_cleaning",
    "ammonia_solution_dose",
    "ammonium_chloride_dose",
    "bicarbonate_bill",
    "changes_to_reach",
    "evaporation",
    "largest_safe_cleaning",
    "least_water",
    "peaks_after_cleaning",
    "salinity_after_evaporation",
    "salinity_topped_up_with",
    "salt_for_change",
    "salt_to_raise",
    "schedule_for_interval",
    "share_needed",
    "steady_peak",
    "steady_trough",
]
