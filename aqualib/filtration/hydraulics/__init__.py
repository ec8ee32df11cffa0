"""Hydraulics: what flow does the pump really give through hose, fittings, media and dirt?"""

from __future__ import annotations

from aqualib.filtration.hydraulics.fittings import (
    fitting_coefficient,
    fitting_head_loss,
)
from aqualib.filtration.hydraulics.head import (
    cost_per_year,
    energy_per_year,
    hydraulic_power,
    pressure_as_head,
)
from aqualib.filtration.hydraulics.hose import friction_factor, hose_head_loss, reynolds_number
from aqualib.filtration.hydraulics.loop import (
    Loss,
    OperatingPoint,
    bed_loss,
    filter_flow,
    fitting_loss,
    hose_loss,
    lift,
    operating_point,
    pad_loss,
    system_head,
)
from aqualib.filtration.hydraulics.out_and_back import (
    CanisterHead,
    CanisterLoop,
    canister_head,
    canister_loop,
)
from aqualib.filtration.hydraulics.packed_bed import (
    bed_permeability,
    bed_pressure_loss,
    ergun_pressure_loss,
    irregular_diameter,
    ring_diameter,
)
from aqualib.filtration.hydraulics.pads import (
    Resistance,
    foam_inertial_permeability,
    foam_permeability,
    pad_clogging,
    pad_pressure_loss,
    pad_resistance,
)
from aqualib.filtration.hydraulics.pump import PumpCurve, at_speed, pump_head
