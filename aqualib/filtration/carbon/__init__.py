"""Activated carbon: what does it take, how much of it, and for how long?"""

from __future__ import annotations

from aqualib.filtration.carbon.adsorption import (
    batch_equilibrium,
    carbon_for_dose,
    freundlich_loading,
    langmuir_loading,
)
from aqualib.filtration.carbon.bed import (
    bed_life,
    carbon_in_layer,
    empty_bed_contact_time,
    removed_in_one_pass,
)
from aqualib.filtration.carbon.loop import CarbonRun, carbon_run
from aqualib.filtration.carbon.taken import Taken, what_carbon_takes
