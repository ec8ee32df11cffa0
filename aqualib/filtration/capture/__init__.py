"""Capture: which dirt sinks or is caught where, and when are the pads due?"""

from __future__ import annotations

from aqualib.filtration.capture.measured import shares_cleaner
from aqualib.filtration.capture.orders import best_stacks
from aqualib.filtration.capture.pads import (
    GRADES,
    Pad,
    SettlingSpace,
    full_to,
    in_series,
    pad,
    pads_in_order,
    pads_loss,
    settling_space,
)
from aqualib.filtration.capture.particle_sizes import (
    SizeClasses,
    mass_share,
    number_share,
    size_classes,
)
from aqualib.filtration.capture.recirculation import concentration_after, steady_concentration
from aqualib.filtration.capture.run import ClogRun, clog_run, runs_side_by_side
from aqualib.filtration.capture.settling import (
    basin_settled_fraction,
    ferguson_church_velocity,
    overflow_rate,
    settled_fraction,
    settling_velocity,
    stokes_velocity,
)
from aqualib.filtration.capture.stages import (
    equal_load_efficiencies,
    equal_load_efficiency,
    grade_efficiency,
    staged_loads,
    time_to_limit,
)
