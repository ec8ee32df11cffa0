"""Media: what is a kilogram worth, in litres, in pores and in surface?"""

from __future__ import annotations

from aqualib.filtration.media.bed import MediaBed, media_bed
from aqualib.filtration.media.foam import cell_of_step, foam_area, foam_cell
from aqualib.filtration.media.kilogram import Worth, worth_of_a_kilogram
from aqualib.filtration.media.kinds import MediaKind, measured_beds, media_kind, media_kinds
from aqualib.filtration.media.packing import (
    bed_density,
    voidage_from_density,
    wall_voidage,
)
from aqualib.filtration.media.pieces import irregular_area, ring_area, sphere_area
from aqualib.filtration.media.surface import (
    area_per_mass,
    bed_area,
    pore_wall_area,
    sphere_bed_area,
)
from aqualib.filtration.media.tray_fill import (
    TrayFill,
    cost_per_area,
    media_in_tray,
    media_mass,
    media_volume,
)
from aqualib.filtration.media.weighing import (
    ClosedPores,
    Immersion,
    WeighingUncertainty,
    closed_pores,
    immersion_porosity,
    suspended_mass,
    weighing_uncertainty,
)
from aqualib.filtration.media.working_shell import (
    ball_shell_share,
    ring_shell_share,
    walls_in_reach,
)
