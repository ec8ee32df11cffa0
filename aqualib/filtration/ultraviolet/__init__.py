"""Ultraviolet light: what dose does water get in one pass, and what does it do?"""

from __future__ import annotations

from aqualib.filtration.ultraviolet.chamber import (
    absorption_coefficient,
    fluence_rate,
    lit_volume,
    mean_fluence_rate,
    time_in_light,
)
from aqualib.filtration.ultraviolet.clearing import (
    kill_rate,
    lamp_kill_rate,
    share_passed,
    steady_count,
    survivors,
    time_to_clear,
)
from aqualib.filtration.ultraviolet.dose import annular_fluence, delivered_fluence
from aqualib.filtration.ultraviolet.exposure import (
    exposure_time,
    exposure_time_beside_tube,
)
from aqualib.filtration.ultraviolet.inactivation import (
    doses,
    effects,
    inactivated_share,
    log_inactivation,
    tabled_fluence,
    tabled_inactivation,
    tables,
)
from aqualib.filtration.ultraviolet.lamp import (
    lamp_output,
    output_share,
    replacement_date,
    service_hours,
    warming,
)
